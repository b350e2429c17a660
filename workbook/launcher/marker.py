"""The file inside `.venv` that says what has been installed completely, and the pins that it is compared with."""

import dataclasses
import hashlib
import json
import sys
from pathlib import Path


@dataclasses.dataclass(frozen=True, kw_only=True)
class Record:
    """What the last complete installation left behind."""

    python: str  # version of the Python in .venv, "3.12"
    root: str  # where the checkout was: a moved folder has to be installed again
    pins: dict[str, str]  # pins file -> hash of its text
    installed: list[str]  # names in the packages folder: one that is missing later means damage


def read(path: Path) -> Record | None:
    """The record, or None when nothing has been completed (or the file can't be read)."""
    try:
        return Record(**json.loads(path.read_text(encoding="utf-8")))
    except (OSError, ValueError, TypeError):
        return None


def write(path: Path, record: Record) -> None:
    """Write the record whole or not at all: a break-off leaves the old one."""
    half = path.with_suffix(".part")
    half.write_text(json.dumps(dataclasses.asdict(record), indent=1) + "\n", encoding="utf-8")
    half.replace(path)


def pins_hash(path: Path) -> str:
    """Hash of a pins file's text. Line ends don't count: Git may turn them."""
    return hashlib.sha256(path.read_text(encoding="utf-8").encode()).hexdigest()


def pins(path: Path, platform: str = sys.platform) -> list[str]:
    """The requirements in a pins file that hold for a platform, without their conditions and hashes."""
    text = path.read_text(encoding="utf-8").replace("\\\n", "")
    rows = [line.partition("--hash=")[0].partition(";") for line in text.splitlines()]
    return [
        requirement.strip()
        for requirement, _, condition in rows
        if requirement.strip() and not requirement.startswith("#") and _holds(condition, platform)
    ]


def _holds(condition: str, platform: str) -> bool:
    """Whether a pin's condition holds; the pins files know `sys_platform ==` and `sys_platform !=` only."""
    if not condition:
        return True
    _, operator, name = condition.split()
    return (name.strip("\"'") == platform) == (operator == "==")
