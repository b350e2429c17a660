"""The pages' kernel: what lies beside the pages is data, and is not imported as a module."""

import os
from pathlib import Path

import pytest
from jupyter_client.manager import start_new_kernel

from workbook.launcher import lab

ROOT = Path(__file__).resolve().parents[2]
# Names that the pages import, and one that only IPython's kernel does.
NAMES = ("plotly", "workbook", "loadcalc", "pandas", "anywidget", "comm")
SOURCE = """
import importlib
for name in {names}:
    print(name, importlib.import_module(name).__file__)
"""


def test_a_module_beside_the_pages_is_not_imported(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A real kernel, started in the folder of the pages as the server does, finds its packages elsewhere."""
    for name in NAMES:
        (tmp_path / f"{name}.py").write_text(
            "raise SystemExit('a stranger was imported')\n", encoding="utf-8"
        )
    own = tmp_path / "own"
    own.mkdir()
    monkeypatch.setattr(lab, "OWN", own)
    for name, value in lab.variables(tmp_path / "season").items():
        monkeypatch.setenv(name, value)
    manager, client = start_new_kernel(kernel_name="python3", cwd=str(tmp_path), env=dict(os.environ))
    printed: list[str] = []
    try:
        answer = client.execute_interactive(
            SOURCE.format(names=NAMES), timeout=60,
            output_hook=lambda message: printed.append(message["content"].get("text", "")),
        )  # fmt: skip
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)
    assert answer["content"]["status"] == "ok", answer["content"]
    found = dict(line.split(" ", 1) for line in "".join(printed).splitlines())
    assert sorted(found) == sorted(NAMES)
    assert [name for name, file in found.items() if Path(file).is_relative_to(tmp_path)] == []
    assert Path(found["workbook"]) == ROOT / "workbook" / "__init__.py"
