"""`python -m tests.tables.costly_files FOLDER`: small files that ask for a lot, each offered to the door of a page.

Each is offered in a process of its own, forked once everything is loaded, so that what is measured is the file's
doing. One line of JSON for each comes out: what the page said, processor time [s], and memory beyond what stood
there before [MB]. A process is ended after 20 s or at 3 GB. POSIX only. Called by test_costly_files.py.
"""

from __future__ import annotations

import io
import json
import os
import resource
import shutil
import sys
import time
import traceback
import zipfile
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from loadcalc.model.errors import LoadcalcError
from loadcalc.season import start_season
from tests.season_help import PLAIN, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.gear.lists import ImportPanel
from workbook.panels.ledger.tables import TablePanel

MOST_S, MOST_BYTES = 20, 3_000_000_000
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
SHEET, STRINGS, STYLES = "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/styles.xml"


class Case(NamedTuple):
    """A file, how it is made, and what must be said of it. The door: "list" (page 02), "own" (page 08), "start"."""

    door: str
    filename: str
    make: Callable[[], str | bytes]
    said: str


@cache
def plain_parts() -> dict[str, bytes]:
    """The parts of a spreadsheet as openpyxl writes it, with a place for shared strings."""
    import openpyxl

    book, out = openpyxl.Workbook(), io.BytesIO()
    book.active.title = "gear"
    book.save(out)
    with zipfile.ZipFile(out) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
    told = f'<Override PartName="/{STRINGS}" ContentType="{kind}"/></Types>'.encode()
    parts["[Content_Types].xml"] = parts["[Content_Types].xml"].replace(b"</Types>", told)
    return {**parts, STRINGS: f'<sst xmlns="{MAIN}"/>'.encode()}


def packed(parts: dict[str, bytes]) -> bytes:
    """A spreadsheet with some of its parts replaced."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as package:
        for name, content in {**plain_parts(), **parts}.items():
            package.writestr(name, content)
    return out.getvalue()


def text_cell(name: str, text: str) -> str:
    """A cell of text."""
    return f'<c r="{name}" t="inlineStr"><is><t>{text}</t></is></c>'


TENT = f'<row r="1">{text_cell("A1", "name")}{text_cell("B1", "mass_lb")}</row><row r="2">{text_cell("A2", "Tent")}'
TENT += '<c r="B2"><v>5</v></c></row>'
TWENTY = f"<row>{'<c><v>1</v></c>' * 20}</row>"


def sheet_part(rows: str = "", after: str = "") -> bytes:
    """A sheet with a tent in it, and more."""
    return f'<worksheet xmlns="{MAIN}"><sheetData>{TENT}{rows}</sheetData>{after}</worksheet>'.encode()


def sheet(rows: str = "", after: str = "") -> bytes:
    """A spreadsheet of that one sheet."""
    return packed({SHEET: sheet_part(rows, after)})


def strings(count: int) -> bytes:
    """A tent, and shared strings that no cell shows."""
    many = "<si><t>a</t></si>" * count
    return packed({SHEET: sheet_part(), STRINGS: f'<sst xmlns="{MAIN}">{many}</sst>'.encode()})


def styles(count: int) -> bytes:
    """A tent, and forms of cells that no cell has."""
    return packed({
        SHEET: sheet_part(), STYLES: plain_parts()[STYLES].replace(b"</cellXfs>", b"<xf/>" * count + b"</cellXfs>")
    })  # fmt: skip


def attributes(count: int) -> bytes:
    """A row with more attributes than any has."""
    return sheet("<row " + " ".join(f'a{number}=""' for number in range(count)) + "/>")


def shared_formula(count: int, length: int) -> bytes:
    """A long formula, said once and meant in every row."""
    first = f'<row r="3"><c r="C3"><f t="shared" si="0" ref="C3:C9">{"+".join(["A1"] * length)}</f></c></row>'
    cells = (f'<row r="{n}"><c r="C{n}"><f t="shared" si="0"/></c></row>' for n in range(4, 4 + count))
    return sheet(first + "".join(cells))


def things(count: int) -> str:
    """A table of things with a mass each."""
    return "name,mass_lb\n" + "".join(f"Thing {number},{number % 50 + 1}\n" for number in range(count))


def tires(table: str) -> str:
    """The table of tires with that for the front one's pressures."""
    return f'key,pressure_table\nfront,"{table}"\n'


def vehicle(line: str) -> str:
    """The blank vehicle with one more line above it."""
    return f"{line}\n{(PLAIN / 'vehicle.toml').read_text(encoding='utf-8')}"


def fuel(number: str) -> str:
    """A loadout with that for its fuel."""
    return f"[[loadout]]\nname = 'x'\nfuel_l = {number}\n"


LINKS = '<hyperlinks><hyperlink ref="A1:XFD1048576" location="A1"/></hyperlinks>'
MERGE = '<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>'
MERGES = MERGE.replace('<mergeCell ref="A1:XFD1048576"/>', '<mergeCell ref="A1:A9"/>' * 300_000)
BARE = f"<row>{'<c/>' * 1_000_000}</row>"
FAR = '<row r="99999999999"><c r="ZZZZZZ99"><v>1</v></c></row>'
FAR_RIGHT = FAR.replace("ZZZZZZ99", "XFD9")
HUGE = f'<row r="3">{text_cell("A3", "Anvil")}<c r="B3"><v>1{"0" * 400}</v></c></row>'
HUGER = HUGE.replace("0" * 400, "0" * 5_000)
DIGITS = f"name,mass_lb\nTent,{'5' * 90_000}x\n"
READ = "1 added"
CASES = {
    "a merge of all there is": Case("list", "gear.xlsx", lambda: sheet(after=MERGE), READ),
    "a merge in an own table": Case("own", "gear.xlsx", lambda: sheet(after=MERGE), READ),
    "merges by the thousand": Case("list", "gear.xlsx", lambda: sheet(after=MERGES), "more than"),
    "a hyperlink on all there is": Case("list", "gear.xlsx", lambda: sheet(after=LINKS), READ),
    "six million cells": Case("list", "gear.xlsx", lambda: sheet(f"<row>{'<c/>' * 20}</row>" * 300_000), "more than"),
    "six million numbers": Case("own", "gear.xlsx", lambda: sheet(TWENTY * 300_000), "more than"),
    "a million cells in a row": Case("list", "gear.xlsx", lambda: sheet(BARE), "more than"),
    "300,000 cells": Case("list", "gear.xlsx", lambda: sheet(TWENTY * 15_000), "more than"),
    "shared strings": Case("list", "gear.xlsx", lambda: strings(1_000_000), "more than"),
    "forms of cells": Case("list", "gear.xlsx", lambda: styles(1_000_000), "more than"),
    "attributes": Case("list", "gear.xlsx", lambda: attributes(1_000_000), "more than"),
    "a shared formula": Case("list", "gear.xlsx", lambda: shared_formula(3_000, 2_000), READ),
    "a cell far down": Case("list", "gear.xlsx", lambda: sheet(FAR), "cannot be read"),
    "a cell far right": Case("list", "gear.xlsx", lambda: sheet(FAR_RIGHT), "more than"),
    "the last cell": Case("list", "gear.xlsx", lambda: sheet(FAR_RIGHT.replace("9" * 11, "1048576")), READ),
    "10^400 in a spreadsheet": Case("list", "gear.xlsx", lambda: sheet(HUGE), "1 row refused"),
    "10^400, own": Case("own", "gear.xlsx", lambda: sheet(HUGE), "1 row refused"),
    "10^5000 in a spreadsheet": Case("list", "gear.xlsx", lambda: sheet(HUGER), "1 row refused"),
    "a mass of 20 KB": Case("list", "gear.csv", lambda: f"item,mass\nTent,5{'x' * 20_000}1\n", "1 row refused"),
    "a mass of digits": Case("own", "gear.csv", lambda: DIGITS, "1 row refused"),
    "a mass of spaces": Case("list", "gear.csv", lambda: f"item,mass\nTent,5{' ' * 90_000}1\n", "1 row refused"),
    "a mass of commas": Case("list", "gear.csv", lambda: f'item,mass\nTent,"5{", " * 45_000}x"\n', "1 row refused"),
    "a cell of 200 KB": Case("list", "gear.csv", lambda: f"item,mass\nTent,5\n{'x' * 200_000},5\n", "field larger"),
    "a header of brackets": Case("list", "gear.csv", lambda: f"item,{'( ' * 40_000},mass\nTent,,5\n", READ),
    "a unit line of spaces": Case("list", "gear.csv", lambda: f"item,mass\nTent{' ' * 90_000}x,5\n", READ),
    "5 MB of commas": Case("list", "gear.csv", lambda: f"item,mass\nTent,5{',' * 4_900_000}\n", READ),
    "a header of commas": Case("own", "gear.csv", lambda: f"name,mass_lb{',' * 9_900_000}\nTent,5\n", READ),
    "5 MB of empty lines": Case("list", "gear.csv", lambda: "item,mass\nTent,5\n" + "\n" * 4_900_000, "lines"),
    "a loose quote": Case("list", "gear.csv", lambda: 'item,mass\nTent,5\n"' + "\n" * 900_000, READ),
    "a nested pressure table": Case("own", "tires.csv", lambda: tires("[" * 90_000), "0 added"),
    "a pressure table of 10^400": Case("own", "tires.csv", lambda: tires(f"[[240, 1{'0' * 400}]]"), "0 added"),
    "a trip without a name": Case("own", "trips.csv", lambda: "key,name,date\nt,,2026-05-15\n", "1 row refused"),
    "20,000 rows to start from": Case("start", "gear.csv", lambda: things(20_000), "more than 10,000 rows"),
    "a season's gear to start from": Case("start", "gear.csv", lambda: things(2_000), ""),
    "a trip to start from, no name": Case("start", "trips.csv", lambda: "name,date\n,2026-05-15\n", "name"),
    "a mass of digits to start from": Case("start", "gear.csv", lambda: DIGITS, "number"),
    "a dotted key": Case("start", "vehicle.toml", lambda: vehicle("a." * 20_000 + "a = 1"), "dots"),
    "a dotted heading": Case("start", "loadouts.toml", lambda: f"[{'a.' * 20_000}a]", "dots"),
    "a dotted key in quotes": Case("start", "loadouts.toml", lambda: "'='." * 10_000 + "a = 1", "dots"),
    "brackets in TOML": Case("start", "loadouts.toml", lambda: f"a = {'[' * 90_000}", "deep"),
    "5,000 digits in TOML": Case("start", "vehicle.toml", lambda: vehicle(f"a = {'9' * 5_000}"), "can't be read"),
    "10^400 in TOML": Case("start", "loadouts.toml", lambda: fuel("1" + "0" * 400), "64 bits"),
    "40 KB of hexadecimal": Case("start", "loadouts.toml", lambda: fuel("0x" + "f" * 40_000), "64 bits"),
}  # fmt: skip


def _offer(case: Case, content: bytes, desk: Desk, folder: Path) -> str:
    """Offer a file to its door; return what is said."""
    if case.door == "start":
        tables = folder / "tables"
        shutil.copytree(PLAIN, tables)
        (tables / case.filename).write_bytes(content)
        try:
            start_season(folder / "new", tables).close()
        except LoadcalcError as error:
            return str(error)
        return "started"
    panel = ImportPanel(desk) if case.door == "list" else TablePanel(desk)
    panel.offer(content, case.filename)
    return f"{panel.words.value}\n{panel.table.value}"


def _measured(case: Case, content: bytes, desk: Desk, folder: Path) -> dict[str, Any]:
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_S, MOST_S))
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    before_mb, start_s = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, time.process_time()
    try:
        said, raised = _offer(case, content, desk, folder), ""
    except BaseException as error:
        said, raised = "", traceback.format_exc()[-2_000:] or repr(error)
    used_s = time.process_time() - start_s
    used_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024 - before_mb
    return {"said": said[:2_000], "raised": raised, "s": round(used_s, 2), "mb": round(used_mb)}


def outcomes(folder: Path, names: list[str]) -> Iterator[dict[str, Any]]:
    """Offer each file in a forked process, and yield how it went."""
    import openpyxl  # noqa: F401  # so that its loading is not the first spreadsheet's doing

    with demo_season(folder) as season:
        desk = Desk(season)
        for name in names:
            content = CASES[name].make()
            content = content.encode() if isinstance(content, str) else content
            own = folder / f"case {len(list(folder.iterdir()))}"
            own.mkdir()
            child = os.fork()
            if not child:
                found = _measured(CASES[name], content, desk, own)
                (own / "outcome").write_text(json.dumps(found))
                os._exit(0)
            _, status = os.waitpid(child, 0)
            told = own / "outcome"
            found = json.loads(told.read_text()) if told.exists() else {"raised": f"ended by {status}"}
            yield {"case": name, "kb": round(len(content) / 1000), **found}


if __name__ == "__main__":
    for outcome in outcomes(Path(sys.argv[1]), sys.argv[2:] or list(CASES)):
        print(json.dumps(outcome), flush=True)
