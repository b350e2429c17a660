"""Run every page on a fresh demo season and store what its text cells say: `python3 -m tests.store_page_text`.

Only printed text is stored. Panels (widgets, figures) are left without outputs, so the pages stay small and
reviewable, and nbval compares exactly the text.
Numbers (`... 00 03`) store those pages only. Read the diff before you commit it: it is a claim about numbers.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PAGES = sorted((ROOT / "workbook").glob("[0-9][0-9]-*.ipynb"))


def keep_text(cell: dict[str, object], number: int) -> None:
    """Keep a cell's printed text; a cell without any goes back to never run, so that nbval does not compare it."""
    printed = [out for out in cell["outputs"] if out["output_type"] == "stream" and out["name"] == "stdout"]  # type: ignore[attr-defined]  # nbformat's cells are untyped
    cell["outputs"] = printed
    cell["execution_count"] = number if printed else None
    kept = ("jupyter", "workbook")  # without what Jupyter notes of the run
    cell["metadata"] = {key: value for key, value in cell["metadata"].items() if key in kept}  # type: ignore[attr-defined]  # nbformat's cells are untyped


def store(path: Path) -> None:
    """Run one page and write its text into it."""
    import nbformat
    from nbclient import NotebookClient

    page = nbformat.read(path, as_version=4)
    NotebookClient(
        page, timeout=120, kernel_name="python3", resources={"metadata": {"path": str(path.parent)}}
    ).execute()
    for number, cell in enumerate((c for c in page.cells if c.cell_type == "code"), start=1):
        keep_text(cell, number)
    page.metadata.pop("widgets", None)
    page.metadata["language_info"] = {"name": "python"}
    nbformat.write(page, path)


def main(numbers: list[str]) -> None:
    """Store the text of the pages with these numbers; of all of them without any."""
    from loadcalc.season import start_season

    with tempfile.TemporaryDirectory() as folder:
        season = Path(folder) / "season"
        start_season(season, ROOT / "data" / "demo")
        os.environ["LOADOUT_SEASON"] = str(season)
        for path in PAGES:
            if numbers and path.name[:2] not in numbers:
                continue
            store(path)
            print(f"stored the text of {path.name}")


if __name__ == "__main__":
    from workbook.launcher.environment import enter

    enter("tests.store_page_text", with_tests=True)
    main(sys.argv[1:])
