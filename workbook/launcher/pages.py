"""Working copies of the numbered pages.

JupyterLab writes what a run shows back into the notebook's file. Run in place, that would overwrite the outputs
that the tests compare, and put one person's season into the files that everybody shares. So the pages are
opened from copies in `.seasons/pages`, which are made afresh at every start. A copy in which somebody changed
a cell is kept under another name; notebooks with names of their own are never touched.

The copies come without outputs: the stored ones tell about the demo season, and nobody should take them for
their own before the page has run.
"""

import datetime
import hashlib
import json
import shutil
from pathlib import Path
from typing import Any

PATTERN = "[0-9][0-9]-*.ipynb"
FOLDER_OF_PAGES = Path(__file__).resolve().parents[1]


def refresh(source: Path, target: Path, today: datetime.date) -> list[str]:
    """Put a fresh copy of every numbered page into the working folder.

    source  : folder with the project's own pages
    target  : the working folder; made when missing
    today   : goes into the name under which a changed page is kept
    returns : names of the pages, sorted
    """
    target.mkdir(parents=True, exist_ok=True)
    names = sorted(path.name for path in source.glob(PATTERN))
    for name in names:
        if (target / name).exists() and changed_by_hand(target / name):
            shutil.move(target / name, _kept_name(target / name, today))
        page = json.loads((source / name).read_text(encoding="utf-8"))
        for cell in page["cells"]:
            if cell["cell_type"] == "code":
                cell.update(outputs=[], execution_count=None)
        page.setdefault("metadata", {}).setdefault("workbook", {})["copied"] = fingerprint(page)
        (target / name).write_text(json.dumps(page, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return names


def row(target: Path, names: list[str]) -> list[dict[str, str]]:
    """Path and short name of each page, for the row of pages on top of every one of them.

    target : the working folder
    names  : what `refresh` has just written there
    """

    def short(name: str) -> str:
        page = json.loads((target / name).read_text(encoding="utf-8"))
        return str(page["metadata"]["workbook"].get("name", Path(name).stem))

    return [{"path": name, "name": short(name)} for name in names]


def sign(target: Path, names: list[str], data_folder: Path) -> None:
    """Mark the fresh copies as trusted in JupyterLab's own book of signatures; nothing else is signed.

    target      : the working folder
    names       : what `refresh` has just written there
    data_folder : where this workbook's JupyterLab keeps its signatures
    """
    # Imported here: this module is also read where nothing is installed.
    import nbformat
    from nbformat.sign import NotebookNotary

    notary = NotebookNotary(data_dir=str(data_folder))
    for name in names:
        notary.sign(nbformat.read(target / name, as_version=4))
    notary.store.close()


def changed_by_hand(copy: Path) -> bool:
    """Whether somebody changed a cell since the page was copied. Outputs, and empty cells, don't count."""
    try:
        page = json.loads(copy.read_text(encoding="utf-8"))
        return bool(page["metadata"]["workbook"]["copied"] != fingerprint(page))
    except (ValueError, KeyError, TypeError):
        return True  # not a copy of ours, or a damaged one: keep it


def fingerprint(page: dict[str, Any]) -> str:
    """A hash of what a person can write in a page: the kind and the text of each cell that isn't empty."""
    cells = []
    for cell in page["cells"]:
        source = cell["source"]
        text = source if isinstance(source, str) else "".join(source)
        if text.strip():
            cells.append([cell["cell_type"], text])
    return hashlib.sha256(json.dumps(cells).encode()).hexdigest()


def _kept_name(copy: Path, today: datetime.date) -> Path:
    """`NN-name (yours DATE).ipynb`, with a number when there is one of that day already."""
    kept = copy.with_name(f"{copy.stem} (yours {today.isoformat()}).ipynb")
    number = 2
    while kept.exists():
        kept = copy.with_name(f"{copy.stem} (yours {today.isoformat()}, {number}).ipynb")
        number += 1
    return kept
