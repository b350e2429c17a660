"""Write docs/formulas.md from the docstrings of `loadcalc.checks`: `python3 -m tests.store_formulas`.

Which page a formula is used on is read from the pages: the panels that they import, and what those panels name.
"""

from __future__ import annotations

import json
import re
from importlib import import_module
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
TARGET = ROOT / "docs" / "formulas.md"
HEAD = """# Formulas

Written by `python3 -m tests.store_formulas` from the docstrings in `loadcalc/checks`; edit those. Each line is a
function that can be called by itself: `from loadcalc.checks import tip_angles`. `help(tip_angles)` tells its parameters
with their units, what it refuses, and an example whose numbers somebody else published or a hand can work. The pages
show these lines under "Formula and source". Documents, and what the words of status mean: [references](references.md).
What is made of the formulas: [methods](methods.md), [stability](stability.md), [restraint](restraint.md),
[lifting](lifting.md), [weighing](weighing.md).
"""
COLUMNS = "| function | formula | source | status | page |\n| --- | --- | --- | --- | --- |\n"


def used_on() -> dict[str, list[str]]:
    """The pages on which each function's formula is shown, by their numbers."""
    found: dict[str, list[str]] = {}
    for path in sorted((ROOT / "workbook").glob("[0-9][0-9]-*.ipynb")):
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        code = "\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "code")
        imports = re.findall(r"^from (workbook\.panels[\w.]*) import (.+)$", code, flags=re.MULTILINE)
        for module, panel in [(module, panel) for module, panels in imports for panel in panels.split(", ")]:
            for name in getattr(getattr(import_module(module), panel), "formulas", ()):
                pages = found.setdefault(name, [])
                if path.name[:2] not in pages:
                    pages.append(path.name[:2])
    return found


def text() -> str:
    """The whole of docs/formulas.md."""
    from workbook.panels.desk.formulas_words import Formula, textbook

    pages = used_on()

    def line(said: Formula) -> str:
        name = f'<a id="{said.name}"></a>`{said.signature}`<br>{said.what}'
        formula = said.formula + (f"<br>Range: {said.range}" if said.range else "")
        cells = (name, formula, said.source, said.status, ", ".join(pages.get(said.name, ["none"])))
        return "".join(f"| {cell.replace('|', chr(92) + '|')} " for cell in cells) + "|\n"

    parts = [HEAD]
    for room in dict.fromkeys(said.room for said in textbook()):
        what = (import_module(f"loadcalc.checks.{room}").__doc__ or "").splitlines()[0]
        mine = [line(said) for said in textbook() if said.room == room]
        parts.append(f"\n## {room.capitalize()}\n{what}\n\n{COLUMNS}{''.join(mine)}")
    return "".join(parts)


if __name__ == "__main__":
    from workbook.launcher.environment import enter

    enter("tests.store_formulas", with_tests=True)
    TARGET.write_text(text(), encoding="utf-8")
    print(f"wrote {TARGET.relative_to(ROOT)}")
