"""No sequence of what a season accepts leaves one that a page can't open: edits by hand, tables in, undos, copies.

Nine pages stand open, a kernel each. Whatever one of them writes, the others take in; in the end all are opened anew.
The suite tries few sequences. More by hand: python3 -m tests --all tests/season/test_season_states.py
"""

from __future__ import annotations

import csv
import io
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import ipywidgets as widgets
import pytest
from hypothesis import HealthCheck, Phase, note, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from loadcalc.model import LoadcalcError
from loadcalc.model.quantities import SI
from loadcalc.season import Season, start_season
from loadcalc.season.edit.truth import check_all
from loadcalc.season.file.fields import DATE, FIELDS, NUMBER, PAIRS, TEXT, WHOLE, YES_NO
from loadcalc.season.file.schema import table_name
from loadcalc.season.keep.copies import copies
from loadcalc.season.tables.columns import columns
from loadcalc.season.tables.write import write_csv
from tests.amount import amount
from tests.open_pages import OpenPage, open_all, what_buttons_raise
from tests.season_help import PLAIN, demo_folder
from workbook.panels.gear.lists import ImportPanel
from workbook.panels.ledger.copies import CopyPanel
from workbook.panels.ledger.tables import TablePanel
from workbook.widgets.dials.dials import Dials

FEW = 4
SEQUENCES = amount(FEW, quick=2, every=500)
BY_HAND = SEQUENCES > FEW
STEPS = 6
ANY = st.integers(0, 9_999)  # which of those that there are: modulo their number
WORDS = (
    "", "x", "Rope", "rope ", "animal", "person", "weighed", "lost", "lent", "fuel", "gas", "light truck", "frame",
    "on the road", "US", "SI", "none", "tire", "Driver", "Kelpie", "a, b", "r" * 300, "<b>", "a guess", "tied", "0",
)  # fmt: skip
NUMBERS = ("", "0", "-1", "1e-9", "0.3", "1", "2.5", "19.9", "60", "300", "4000", "99999", "1e300", "nan")
DAYS = ("", "2026-05-15", "1900-01-01", "1999-12-31", "9999-12-31", "0001-01-01", "2026-13-01")
OF_KIND = {
    TEXT: WORDS, NUMBER: NUMBERS, WHOLE: NUMBERS, DATE: DAYS, YES_NO: ("", "yes", "no"),
    PAIRS: ("", "[]", "[[240, 550], [260, 590]]", "[[0, 0]]", "[[]]", "[[[", "7"),
}  # fmt: skip
TYPED = (*WORDS, *NUMBERS, *DAYS, "38 lb", "2 m", "15 in right", "30 psi", "3 gal", "10 x 12 x 3 in", "yes", "50%")
SEARCHES = ("Arrange for me", "Run more trials", "Find plans")  # of half a minute, which change nothing by themselves


@dataclass(frozen=True)
class File:
    """A table: which, how many of its rows stay, and which cells are changed to what."""

    at: int
    keep: int
    odd: list[tuple[int, int, int]]


ODD = st.lists(st.tuples(ANY, ANY, ANY), max_size=6)


def changed(season: Season, subject: str, file: File) -> bytes:
    """A table as the season saves it, changed as a file says; told in the test's notes."""
    text = write_csv(season.present, subject, SI).decode("utf-8-sig")
    header, *rows = csv.reader(io.StringIO(text, newline=""))
    kinds = {column.header: column.kind for column in columns(subject, SI)}
    for row, column, value in file.odd if rows else ():
        place = column % len(header)
        pool = OF_KIND[kinds[header[place]]]
        rows[row % len(rows)][place] = pool[value % len(pool)]
        note(f"{subject} row {row % len(rows)}: {header[place]} {pool[value % len(pool)]}")
    rows = rows[: file.keep % (len(rows) + 1)] if file.keep % 3 else rows
    note(f"{subject}: {len(rows)} rows")
    out = io.StringIO(newline="")
    csv.writer(out).writerows([header, *rows])
    return out.getvalue().encode()


class Pages(RuleBasedStateMachine):
    """A crew of nine windows that edits one season."""

    pages: list[OpenPage]

    def __init__(self) -> None:
        super().__init__()
        self.base = Path(tempfile.mkdtemp())
        self.patch = pytest.MonkeyPatch()

    @initialize(blank=st.booleans())
    def opened(self, blank: bool) -> None:
        """All pages, on the demo's season or on a blank one."""
        if blank:
            start_season(self.base / "season", PLAIN).close()
        else:
            demo_folder(self.base)
        self.patch.setenv("LOADOUT_SEASON", str(self.base / "season"))
        self.pages = open_all()
        for page in self.pages:
            page.desk.season.db.execute("PRAGMA synchronous = OFF")

    def _do(self, act: Callable[[], Any]) -> None:
        """What a hand does; what it raises under a button counts like any other fault."""
        with what_buttons_raise() as raised:
            act()
        for error in raised:
            raise error

    @rule(files=st.lists(st.builds(File, at=ANY, keep=ANY, odd=ODD), min_size=1, max_size=3), remove=st.booleans())
    def take_in_tables(self, files: list[File], remove: bool) -> None:
        """Tables as they are saved, some cells of them changed, all of their rows there or fewer."""
        panel = TablePanel(self.pages[8].desk)
        for file in files:
            subject = list(FIELDS)[file.at % len(FIELDS)]
            panel.remove.value = remove
            panel.offer(changed(panel.desk.season, subject, file), f"{table_name(subject)}.csv")
            self._do(panel.accept)
        panel.desk.records.remove(panel.look_again)

    @rule(name=st.sampled_from(WORDS), mass=st.sampled_from(NUMBERS), zone=st.sampled_from(["", "Drawer"]))
    def take_in_a_list(self, name: str, mass: str, zone: str) -> None:
        """A gear list of somebody's own."""
        panel = ImportPanel(self.pages[2].desk)
        panel.offer(f"name;mass kg;zone\n{name};{mass};{zone}\n".encode(), "list.csv")
        self._do(panel.accept)
        panel.desk.records.remove(panel.look_again)

    @rule(page=ANY, table=ANY, row=ANY, column=ANY, text=st.sampled_from(TYPED), kind=st.sampled_from(
        ["set", "set", "set", "add", "duplicate", "remove"]))  # fmt: skip
    def type_into_a_table(self, page: int, table: int, row: int, column: int, text: str, kind: str) -> None:
        """A cell, or a row that comes or goes, as the browser tells it."""
        tables = self.pages[page % 9].tables()
        chosen = tables[table % len(tables)] if tables else None
        if chosen is None or not chosen._fixed.get(kind, True):  # a button that isn't there
            return
        keys = [*chosen._sheet.rows, *chosen._sheet.drafts] or [""]
        name = chosen._sheet.columns[column % len(chosen._sheet.columns)].key
        wish = {"kind": kind, "row": keys[row % len(keys)], "column": name, "text": text}
        note(f"{self.pages[page % 9].name}, {chosen._fixed['label']}: {wish}")
        chosen.last_error = None
        self._do(lambda: chosen._hear(None, {"view": "one", "batch": 1, "edits": [wish]}, None))
        if chosen.last_error is not None and not isinstance(chosen.last_error, LoadcalcError):
            raise chosen.last_error

    @rule(page=ANY, part=ANY, value=ANY)
    def touch(self, page: int, part: int, value: int) -> None:
        """Any box, list, tick, slider, or button of any page."""
        hands: list[Any] = [w for w in self.pages[page % 9].parts() if isinstance(w, tuple(HANDS))]
        hands = [one for one in hands if not getattr(one, "disabled", False)]
        if not hands:
            return
        chosen = hands[part % len(hands)]
        note(f"{self.pages[page % 9].name}: {type(chosen).__name__} {getattr(chosen, 'description', '')!r} {value}")
        act = next(act for kind, act in HANDS.items() if isinstance(chosen, kind))
        self._do(lambda: act(chosen, value))

    @rule(page=ANY, which=st.integers(0, 9))
    def take_back(self, page: int, which: int) -> None:
        """A line of the list at the head of a page: an undo, or of an undo a redo; or a refusal that says why."""
        desk = self.pages[page % 9].desk
        told = desk.season.standings()
        if told:
            chosen = told[which % len(told)]
            note(f"take back {chosen}")
            self._do(lambda: desk.take_back(chosen.entry))
            assert desk.status.startswith("Not ") or not chosen.rests_on_it
            check_all(desk.season.present)

    @rule(page=ANY, own=st.booleans())
    def undo(self, page: int, own: bool) -> None:
        """The button at the head of a page, or Ctrl+Z in a table."""
        desk = self.pages[page % 9].desk
        self._do(desk.undo_own if own else desk.undo)

    @rule(page=ANY)
    def redo(self, page: int) -> None:
        """The other button."""
        desk = self.pages[page % 9].desk
        if (undone := desk.season.next_redo) is not None:
            self._do(lambda: desk.take_back(undone))

    @rule(make=st.booleans(), which=ANY)
    def copies(self, make: bool, which: int) -> None:
        """Make a copy, or bring one back."""
        panel = CopyPanel(self.pages[8].desk)
        if make or not (known := copies(panel.desk.season.folder)):
            panel.made()
        else:
            panel.which.value = known[which % len(known)].name
            self._do(panel.asked)
            self._do(panel.restored)
        panel.desk.records.pop()

    @invariant()
    def every_page_takes_it_in(self) -> None:
        """What one page wrote, every page that stands open shows."""
        for page in getattr(self, "pages", ()):
            self._do(page.desk.look)

    def teardown(self) -> None:
        """Close all, and open every page anew."""
        try:
            for page in getattr(self, "pages", ()):
                page.close()
            if hasattr(self, "pages"):
                for page in open_all():
                    page.close()
        finally:
            self.patch.undo()
            shutil.rmtree(self.base)


def _press(button: widgets.Button, value: int) -> None:
    if button.description not in SEARCHES:
        button.click()


def _choose(box: widgets.Dropdown, value: int) -> None:
    if box.options:
        box.index = value % len(box.options)


def _type(box: widgets.Text, value: int) -> None:
    box.value = TYPED[value % len(TYPED)]


def _dial(dials: Dials, value: int) -> None:
    """One of its sliders, dragged to an end or its middle, or typed into."""
    rows = [row for rows in dials.columns.values() for row in rows]
    if not rows:
        return
    row = rows[value % len(rows)]
    low, high = row["low"], row["high"]
    said: tuple[dict[str, Any], ...] = (
        {"value": low}, {"value": high}, {"value": (low + high) / 2}, {"text": TYPED[value % len(TYPED)]},
    )  # fmt: skip
    dials._hear(None, {"view": "one", "count": 1, "key": row["key"], **said[value % 4]}, None)


def _tick(box: widgets.Checkbox, value: int) -> None:
    box.value = bool(value % 2)


HANDS: dict[type[Any], Callable[[Any, int], None]] = {
    widgets.Button: _press, widgets.Dropdown: _choose, widgets.Text: _type, widgets.Checkbox: _tick,
    Dials: _dial,
}  # fmt: skip


def test_no_sequence_of_accepted_edits_leaves_a_season_that_a_page_cannot_open() -> None:
    """Few sequences here, the same each time; the same machine runs for as long as one likes by hand."""
    run_state_machine_as_test(
        Pages,
        settings=settings(
            max_examples=SEQUENCES,
            stateful_step_count=STEPS,
            deadline=None,
            derandomize=not BY_HAND,
            database=None,
            suppress_health_check=list(HealthCheck),
            phases=list(Phase) if BY_HAND else [Phase.generate],  # a short sequence needs no shorter one
        ),
    )
