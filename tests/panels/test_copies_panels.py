"""The panels for copies, the zip, and tables: what they show, what they ask, and what is then done."""

from __future__ import annotations

import base64
import csv
import io
import re
from datetime import date
from pathlib import Path

import pytest

from loadcalc.model.quantities import US
from loadcalc.season import open_season
from loadcalc.season.file.fields import FIELDS
from loadcalc.season.keep.archive import season_zip
from loadcalc.season.keep.copies import BEFORE_RESTORE, BY_HAND, DAILY, Copy, Keeper, copies, keep_copy
from loadcalc.season.tables.read import read_own
from loadcalc.season.tables.take import preview_table
from loadcalc.season.tables.write import write_csv
from tests.season_help import demo_season, kept, records
from workbook.panels.desk.desk import Desk
from workbook.panels.ledger import copies_words as say
from workbook.panels.ledger.copies import CopyPanel, ZipPanel, copies_panel
from workbook.panels.ledger.tables import TablePanel

DAY = date(2026, 5, 15)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


def copy(name: str, why: str) -> Copy:
    """A copy by name."""
    return Copy(path=Path(name), day=DAY, why=why)


def saved(html: str) -> dict[str, bytes]:
    """The files behind the links of a panel."""
    found = re.findall(r"download='([^']*)' href='data:[^;]*;base64,([^']*)'", html)
    return {name: base64.b64decode(data) for name, data in found}


def test_a_copy_is_called_by_its_day_and_reason() -> None:
    """The day's own by its day, others with the time and why."""
    found = [
        copy("season-2026-05-15.db", DAILY),
        copy("season-2026-05-15T081530-before-restore.db", BEFORE_RESTORE),
        copy("season-2026-05-15T081530-2-by-hand.db", BY_HAND),
        copy("season-2026-05-15T230000-form-1.db", "form-1"),
    ]
    assert [say.copy_label(one) for one in found] == [
        "2026-05-15: the day's copy",
        "2026-05-15, 08:15: made before a restore",
        "2026-05-15, 08:15: made by hand",
        "2026-05-15, 23:00: before form 1 was brought forward",
    ]


def test_the_list_tells_what_is_in_each_copy(desk: Desk) -> None:
    """Newest first, with the number of entries and the newest one; a damaged copy is marked as such."""
    assert list(say.copy_rows(desk.season)) == []
    assert say.copies_said([]).startswith("No copy yet")
    desk.season.set_item("chainsaw", mass_kg=7.0)
    first = keep_copy(desk.season.db, desk.season.folder, BY_HAND)
    ((day, why, entries, newest),) = say.copy_rows(desk.season)
    assert (day[:10], why, entries) == (date.today().isoformat(), "made by hand", "2")
    assert newest.endswith("Chainsaw: mass")
    first.write_bytes(first.read_bytes()[:50])
    assert next(say.copy_rows(desk.season))[3].startswith("▲ can't be used")
    assert say.copies_said([1]).startswith("1 copy in the folder “copies”")
    assert say.copies_said([1, 2]).startswith("2 copies in the folder “copies”")


def test_restoring_asks_what_it_would_change() -> None:
    """The question names the day, counts the things that change, and says that nothing is lost."""
    found = {"item": 3, "occupant": 1, "stowed": 2}
    asked = say.restore_asked(copy("season-2026-05-15.db", DAILY), found)
    changes = "That changes 3 items, 1 person and 2 items on board."
    assert asked.startswith(f"Make everything as it was in the copy of 2026-05-15? {changes}")
    assert "Undo brings it back" in asked
    assert "nothing to restore" in say.restore_asked(copy("season-2026-05-15.db", DAILY), {})


def test_a_copy_is_restored_after_a_second_question(desk: Desk) -> None:
    """Asked, answered with no: nothing. Asked, answered with yes: one entry, and all is as it was."""
    panel = CopyPanel(desk)
    desk.season.set_item("chainsaw", mass_kg=7.0)
    keep_copy(desk.season.db, desk.season.folder, BY_HAND)
    then = records(desk.season)
    desk.season.set_item("chainsaw", mass_kg=9.0)
    desk.season.remove("item", "loppers")
    desk.reload()
    assert panel.question.layout.display == "none"
    panel.which.value = next(one.name for one in copies(desk.season.folder) if one.why == BY_HAND)
    version = desk.season.version

    panel.restored()  # a press without a question does nothing
    panel.ask.click()
    assert "Make everything as it was" in panel.words.value
    assert panel.question.layout.display == ""
    panel.no.click()
    assert (panel.question.layout.display, desk.season.version) == ("none", version)

    panel.ask.click()
    panel.yes.click()
    assert records(desk.season) == then
    assert desk.season.version == version + 1
    assert desk.status == f"Kept in the ledger: Restored from the copy of {date.today().isoformat()}"
    assert "Restored from the copy" in panel.words.value
    assert any(one.why == BEFORE_RESTORE for one in copies(desk.season.folder))
    panel.ask.click()
    assert "nothing to restore" in panel.words.value
    assert panel.question.layout.display == "none"


def test_a_question_is_withdrawn_when_the_season_changes(desk: Desk) -> None:
    """What was asked about no longer holds after an edit, so the answer is not taken."""
    panel = CopyPanel(desk)
    desk.season.set_item("chainsaw", mass_kg=7.0)
    keep_copy(desk.season.db, desk.season.folder, BY_HAND)
    desk.season.set_item("chainsaw", mass_kg=8.0)
    desk.reload()
    panel.ask.click()
    assert panel.question.layout.display == ""
    desk.do(lambda: desk.season.set_item("chainsaw", mass_kg=9.0), "Heavier")
    assert panel.question.layout.display == "none"


def test_a_missing_copy_of_the_day_is_told(desk: Desk) -> None:
    """When today's copy could not be made, the panel says so with its mark and the reason."""
    desk.season.keeper = keeper = Keeper(desk.season.folder)
    keeper.trouble = "no copy could be made (disk is full): make room"
    panel = CopyPanel(desk)
    assert "▲ Today&#x27;s copy is missing: no copy could be made" in panel.table.value
    assert panel.ask.disabled
    panel.made()
    assert "Kept as season-" in panel.words.value
    assert not panel.ask.disabled


def test_the_zip_is_saved_and_brought_into_a_new_folder(desk: Desk, tmp_path: Path) -> None:
    """A link saves the whole season; a zip makes a season in a folder that isn't there yet, and no other."""
    panel = ZipPanel(desk)
    panel.made()
    ((name, content),) = saved(panel.link.value).items()
    assert name == f"fern-gap-trail-crew-{date.today().isoformat()}.zip"
    assert content == season_zip(desk.season)

    panel.bring_in(content, name)
    assert "write the name of a new folder first" in panel.words.value
    panel.folder.value = "season"
    panel.bring_in(content, name)
    assert "Not imported from fern-gap" in panel.words.value
    for name_of_none in ("x" * 300, "~nosuchuser"):
        panel.folder.value = name_of_none
        panel.bring_in(content, name)
        assert "choose another" in panel.words.value
    panel.folder.value = "from zip"
    panel.bring_in(content[:500], name)
    assert "is damaged or no season" in panel.words.value
    panel.bring_in(content, name)
    assert "--season" in panel.words.value
    with open_season(tmp_path / "from zip") as made:
        assert records(made) == records(desk.season)
    desk.do(lambda: desk.season.set_item("chainsaw", mass_kg=7.0), "Lighter")
    assert panel.link.value == ""


def lines(desk: Desk, subject: str) -> list[list[str]]:
    """A table of the season, cell by cell."""
    text = write_csv(desk.season.present, subject, US).decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline="")))


def file(cells: list[list[str]]) -> bytes:
    """Cells as a file."""
    out = io.StringIO(newline="")
    csv.writer(out).writerows(cells)
    return out.getvalue().encode()


def test_a_table_is_looked_at_then_taken_in_then_undone(desk: Desk) -> None:
    """Preview with rows, one entry, one undo; the tick decides whether what the file lacks is taken away."""
    panel = TablePanel(desk)
    before, version = kept(desk.season.folder), desk.season.version
    cells = lines(desk, "liquid")
    cells[1][cells[0].index("container_lb")] = "4"
    del cells[2]
    panel.offer(file(cells), "liquids.csv")
    assert panel.which.value == "liquid"
    assert "0 added, 1 changed, 0 removed, 4 unchanged, 1 not in the file (kept)" in panel.words.value
    assert "row 2" in panel.table.value
    panel.remove.value = True
    assert "0 added, 1 changed, 1 removed, 4 unchanged" in panel.words.value
    assert "removed" in panel.table.value
    assert desk.season.version == version
    panel.apply.click()
    assert desk.season.version == version + 1
    assert len(desk.season.liquids) == 5
    desk.undo()
    assert kept(desk.season.folder) == before


def test_a_table_that_can_t_be_taken_in_says_why(desk: Desk) -> None:
    """A column of another table, a row that is refused, a whole that can't be true: each in words, none kept."""
    panel = TablePanel(desk)
    version = desk.season.version
    panel.offer(b"key,weight\r\nchainsaw,3\r\n", "gear.csv")
    assert "is not one of the table gear" in panel.words.value
    cells = lines(desk, "riding")
    cells[1][3] = cells[2][3]
    panel.offer(file(cells), "aboard_people.csv")
    assert "▲ This can&#x27;t be imported as it is" in panel.words.value
    assert panel.apply.disabled
    cells = lines(desk, "item")
    cells[1][cells[0].index("mass_lb")] = "heavy"
    panel.offer(file(cells), "gear.csv")
    assert "▲ refused" in panel.table.value
    assert "“heavy” is not a plain number" in panel.table.value
    assert desk.season.version == version


def test_a_table_preview_that_has_become_stale_is_shown_again(desk: Desk) -> None:
    """When another page has edited since, the new preview is shown before anything is taken in."""
    panel = TablePanel(desk)
    cells = lines(desk, "item")
    cells[1][cells[0].index("count")] = "9"
    panel.offer(file(cells), "gear.csv")
    desk.season.set_item(cells[1][0], count=8)
    version = desk.season.version
    panel.accept()
    assert "look again" in panel.words.value
    assert desk.season.version == version
    panel.accept()
    assert desk.season.version == version + 1


def test_every_table_has_a_title_and_can_be_saved(desk: Desk) -> None:
    """Each table has a plain name of its own; what is saved reads back as no change."""
    panel = TablePanel(desk)
    titles = [title for title, _ in say.table_choices()]
    assert [subject for _, subject in say.table_choices()] == list(FIELDS)
    assert set(say.TITLES) >= set(FIELDS), "a new table wants a title"
    assert len(set(titles)) == len(titles)
    for subject in ("zone", "trip"):
        panel.which.value = subject
        panel.save_one()
        for name, content in saved(panel.link.value).items():
            found = preview_table(desk.season, read_own(content, name, subject), removing=True)
            assert (found.added, found.changed, found.missing, found.refused) == ((), (), (), ())
    panel.save_all()
    assert list(saved(panel.link.value)) == ["season-tables.xlsx"]
    panel.which.value = "seat"
    assert panel.link.value == ""


def test_a_long_preview_is_cut_and_says_so(desk: Desk) -> None:
    """A table of thousands of changes shows the first of them and how many more there are."""
    cells = lines(desk, "item")
    cells += [["", f"Thing {number}", "5", *[""] * (len(cells[0]) - 3)] for number in range(100)]
    preview = preview_table(desk.season, read_own(file(cells), "gear.csv", "item"))
    rows = list(say.table_rows(preview))
    assert len(rows) == say.MOST_ROWS + 1
    assert rows[-1] == ("", "…", "40 more", "not shown, but counted above")


def test_the_panel_holds_all_three_parts(desk: Desk) -> None:
    """Copies, zip, and tables stand under each other with a heading each."""
    made = copies_panel(desk)
    assert len(made.children) == 6
