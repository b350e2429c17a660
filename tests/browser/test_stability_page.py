"""The stability page by hand: slope and trail pressure by keyboard, a trailer hitched, and what then stands there.

Every expected number is computed from the package on the season as it is on disk, and waited for exactly.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from playwright.sync_api import Page, expect

from loadcalc.checks import Judgment
from loadcalc.model.quantities import US
from loadcalc.season import Season
from loadcalc.season.story.departures import Departure
from tests.browser.lab import Lab
from tests.browser.sliders import press
from tests.browser.test_pages import FRIDAY, kept, says
from workbook.panels.desk.formulas_words import entry
from workbook.panels.stability import cg_lift_words as lift_words
from workbook.panels.stability import hitch_words, slope_words, stability_words
from workbook.panels.stability import tires_words as tire_words
from workbook.panels.stability.stability import START

PAGE = "04-stability.ipynb"


def judged(season: Season) -> Judgment:
    """Friday's departure as it is on disk."""
    return Departure(season, FRIDAY).judge(season.vehicle, season.loadout(FRIDAY))


def row_says(page: Page, row: tuple[str, ...]) -> None:
    """Wait for a table row with exactly these cells."""
    cells = page.locator("tr").filter(has_text=row[0]).filter(has_text=row[1]).first.locator("td")
    expect(cells).to_have_text(list(row))


def test_a_slope_by_keyboard_moves_wheels_words_and_chart(lab: Lab, season: Season) -> None:
    """Five presses to the left side, eight of nose up: loads, limit, and picture are the package's; nothing is kept."""
    start, report = season.version, judged(season)
    page = lab.open_page(PAGE)
    says(page, stability_words.tip_sentence(report))
    says(page, slope_words.slope_words(report, US, START).splitlines()[-1])
    press(page, "Side slope", "ArrowRight", 5)
    press(page, "Grade", "ArrowRight", 8)
    lean = replace(START, left_down_deg=START.left_down_deg + 5, nose_up_deg=START.nose_up_deg + 8)
    for sentence in slope_words.slope_words(report, US, lean).splitlines():
        says(page, sentence)
    for row in slope_words.wheel_rows(report, US, lean):
        row_says(page, row)
    wheels = slope_words.wheels_on(report, lean)
    assert wheels is not None
    picture = page.locator("svg[role=img]").filter(has_text="What does each wheel carry")
    for kg in wheels:
        expect(picture).to_contain_text(US.mass(kg, grouped=True))
    chart = page.locator("svg[role=img]").filter(has_text="At which slope")
    rigid_deg, _ = slope_words.margins(report, lean)
    expect(chart).to_contain_text(
        f"{slope_words.lies(lean)}, {slope_words.degrees(rigid_deg)} to the rigid limit"
    )
    lab.screenshot(page, "stability-slope")
    assert season.version == start


def test_a_slope_beyond_the_limit_shows_no_loads(lab: Lab, season: Season) -> None:
    """To the end of the slider: an alarm with mark and word, no wheel table; back to level brings it back."""
    report = judged(season)
    page = lab.open_page(PAGE)
    press(page, "Side slope", "End", 1)
    lean = replace(START, left_down_deg=50.0)
    alarm = slope_words.slope_words(report, US, lean)
    assert "beyond the rigid tip limit" in alarm
    expect(page.locator(".an-lead .an-bad").filter(has_text=alarm)).to_be_visible()
    expect(page.locator("svg[role=img]").filter(has_text="What does each wheel carry")).to_contain_text(
        "it tips"
    )
    lab.screenshot(page, "stability-beyond")
    page.get_by_role("button", name="Back to level").click()
    says(page, slope_words.slope_words(report, US, replace(lean, left_down_deg=0.0)).splitlines()[-1])


def test_formula_and_source_open_under_the_angles_by_keyboard(lab: Lab) -> None:
    """Folded until somebody asks; then the formula, its source and status, as the function's docstring says them."""
    page = lab.open_page(PAGE)
    formula = entry("static_stability_factor").formula
    fold = page.locator("details.loadout-formulas").filter(has_text=formula)
    factor = fold.get_by_text(formula)
    expect(factor).to_be_hidden()
    fold.locator("summary").focus()
    page.keyboard.press("Enter")
    expect(factor).to_be_visible()
    expect(fold).to_contain_text(f"Source: {entry('static_stability_factor').source}")
    expect(fold).to_contain_text(f"Status: {entry('static_stability_factor').status}")
    lab.screenshot(page, "stability-formulas")


def test_air_let_out_by_keyboard_is_kept_and_judged(lab: Lab, season: Season) -> None:
    """Ten pounds per square inch out of the rear tires: capacity, share, caution, and the slope's tire limits."""
    page = lab.open_page(PAGE)
    full_psi = US.scale("pressure").value(season.vehicle.rear_tire.placard_kpa or 0.0)
    press(page, "Rear tires, on the trail", "ArrowLeft", 10)
    kept(page, f"Rear tires, on the trail: {round(full_psi) - 10} psi")  # the last press, whenever the page rested
    report = judged(season)
    rear_kpa = report.shares.loadout.rear_kpa
    assert rear_kpa is not None
    assert US.scale("pressure").value(rear_kpa) == pytest.approx(round(full_psi) - 10, abs=1e-6)
    for row in tire_words.pressure_rows(report, US):
        row_says(page, row)
    for sentence in tire_words.pressure_words(report, US).splitlines():
        says(page, sentence)
    for row in slope_words.wheel_rows(report, US, START):
        row_says(page, row)
    lab.screenshot(page, "stability-air")


def test_a_trailer_hitched_is_told_on_axles_and_ratings(lab: Lab, season: Season) -> None:
    """One click: tongue share, lever, ratings, and what may be towed are the package's."""
    page = lab.open_page(PAGE)
    says(page, "No trailer on this departure.")
    page.get_by_label("Trailer is hitched").check()
    kept(page, f"{FRIDAY}: trailer on")
    report = judged(season)
    assert report.shares.loadout.trailer is not None
    for sentence in hitch_words.trailer_words(report, US).splitlines():
        says(page, sentence)
    says(page, hitch_words.lever_sentence(report, US))
    for row in (*hitch_words.lever_rows(report, US), *hitch_words.rating_rows(report, US)):
        row_says(page, row)
    press(page, "Share of a trailer", "ArrowRight", 3)
    share = round(hitch_words.start_share(season.trailer), 2) + 0.03
    says(page, hitch_words.room_sentence(report, US, share))
    lab.screenshot(page, "stability-trailer")


def test_an_invented_lift_cannot_be_accepted(lab: Lab, season: Season) -> None:
    """The caution stands above the steps; the example says what it is, and its button is dead."""
    page = lab.open_page(PAGE)
    start, accept = season.version, page.get_by_role("button", name="Accept this height")
    caution = page.get_by_text(lift_words.LIFT_CAUTION.splitlines()[0]).first
    first_step = page.get_by_role("listitem").filter(has_text=lift_words.HOW[0])
    tops = [found.bounding_box() for found in (caution, first_step)]
    assert tops[0] is not None
    assert tops[1] is not None
    assert tops[0]["y"] < tops[1]["y"]
    expect(accept).to_be_disabled()
    page.get_by_role("button", name="Fill in an invented example").click()
    says(page, lift_words.EXAMPLE)
    expect(page.get_by_text("? invented", exact=True)).to_have_count(7)
    expect(accept).to_be_disabled()
    lab.screenshot(page, "stability-lift-example")
    box = page.get_by_label("Tilt, row front", exact=True).first
    box.fill("1.5")
    box.press("Enter")
    expect(page.get_by_text("? invented", exact=True)).to_have_count(
        7
    )  # what the scale showed is the example's still
    expect(accept).to_be_disabled()
    page.get_by_role("button", name="Take the example away").click()
    expect(page.get_by_text("? invented", exact=True)).to_have_count(0)
    says(page, "No height yet")
    assert season.version == start
