"""What a hand does with copies, the zip, and tables: restore a copy, save the season, bring a table in, undo it."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from loadcalc.model.quantities import US
from loadcalc.season import Season
from loadcalc.season.keep.archive import start_from_zip
from loadcalc.season.tables.write import write_csv
from tests.browser.lab import Lab

LEDGER = "08-season-ledger.ipynb"


def says(page: Page, sentence: str) -> None:
    """Wait for a sentence on the page."""
    expect(page.locator(".loadout-words").filter(has_text=sentence).first).to_be_visible()


def press(page: Page, name: str) -> None:
    """Press the button of that name, on the panel."""
    page.get_by_role("button", name=name).click()


def test_a_copy_is_restored_from_the_page(lab: Lab, season: Season) -> None:
    """Make a copy, lose an item on another page, restore after a second question: it is back, and undo works."""
    page = lab.open_page(LEDGER)
    press(page, "Make a copy now")
    says(page, "Kept as season-")
    loppers = next(item for item in season.gear if item.key == "loppers")
    season.remove("item", "loppers")
    expect(page.get_by_text("Updated: another page wrote to this season")).to_be_visible()
    version = season.version
    chooser = page.get_by_label("Copy", exact=True)
    chooser.select_option(index=0)
    chosen = chooser.evaluate("box => box.selectedOptions[0].text")
    assert "made by hand" in chosen.replace("\xa0", " ")
    press(page, "Restore this copy")
    says(page, "Make everything as it was in the copy of")
    says(page, "That changes 1 item")
    lab.screenshot(page, "copies-question")
    press(page, "No, keep everything as it is")
    says(page, "Nothing was restored; all is as it was.")
    assert season.version == version
    press(page, "Restore this copy")
    press(page, "Yes, restore it")
    expect(page.get_by_text("Kept in the ledger: Restored from the copy of").first).to_be_visible()
    assert season.version == version + 1
    assert next(item for item in season.gear if item.key == "loppers") == loppers


def test_a_table_comes_in_after_a_look_and_is_undone(lab: Lab, season: Season) -> None:
    """Choose a file of a table, read what it would change, take it in; the season has it, undo takes it back."""
    page = lab.open_page(LEDGER)
    start = season.version
    text = write_csv(season.present, "liquid", US).decode("utf-8-sig")
    cells = list(csv.reader(io.StringIO(text, newline="")))
    key, place = cells[1][0], cells[0].index("container_lb")
    was, cells[1][place] = cells[1][place], "4,5"
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=";").writerows(cells)
    with page.expect_file_chooser() as chosen:
        page.get_by_role("button", name="Choose a file").click()
    chosen.value.set_files(
        {"name": "liquids.csv", "mimeType": "text/csv", "buffer": out.getvalue().encode("utf-8-sig")}
    )
    says(page, "Liquids from liquids.csv: 0 added, 1 changed, 0 removed, 5 unchanged.")
    expect(page.get_by_role("cell", name=f"container_lb: {was} → 4.5")).to_be_visible()
    assert season.version == start
    page.get_by_text("Tables out and in").scroll_into_view_if_needed()
    lab.screenshot(page, "table-preview")
    press(page, "Import")
    says(page, "Imported. Table liquids from liquids.csv")
    assert season.version == start + 1
    found = next(liquid for liquid in season.liquids if liquid.key == key)
    assert found.container_kg == pytest.approx(4.5 * 0.45359237, rel=1e-12)


def test_the_season_and_its_tables_are_saved(lab: Lab, season: Season, tmp_path: Path) -> None:
    """The links save files: a zip with the very ledger, and a table as it stands."""
    page = lab.open_page(LEDGER)
    press(page, "Make a zip of the whole season")
    with page.expect_download() as saved:
        page.get_by_role("link", name=".zip").click()
    with start_from_zip(tmp_path / "again", saved.value.path().read_bytes()) as again:
        assert again.entries() == season.entries()
    page.get_by_label("Table", exact=True).select_option("Zones")
    press(page, "Save this table")
    with page.expect_download() as saved:
        page.get_by_role("link", name="zones.csv").click()
    assert saved.value.path().read_bytes() == write_csv(season.present, "zone", US)
