"""What a hand does on the what-if page: slide, compare, keep, go back, doubt, stop; and what then stands there.

Every expected number is computed from the package on the season as it is on disk, and waited for exactly.
"""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import expect

from loadcalc import evaluate
from loadcalc.checks import Shares
from loadcalc.model.quantities import US
from loadcalc.plan.compare import compare
from loadcalc.plan.doubt import Doubt
from loadcalc.plan.draws import draw
from loadcalc.plan.levers import quantities
from loadcalc.plan.sweep import sweep, tried
from loadcalc.season import Season
from loadcalc.season.story.departures import Departure
from tests.browser.lab import Lab
from tests.browser.sliders import press
from tests.browser.test_pages import says
from workbook.panels.what_if import doubt_words, what_if_words
from workbook.panels.what_if.what_if_map import dial_of

FRIDAY, SCOUTING, PAGE = "Friday departure", "Scouting day", "06-what-if.ipynb"


def test_a_slider_by_keyboard_moves_map_and_words(lab: Lab, season: Season) -> None:
    """Five pounds off the roof and two steps less fuel: the words and the map are those of that loadout."""
    start = season.version
    page = lab.open_page(PAGE)
    vehicle, loadout = season.vehicle, season.loadout(FRIDAY)
    known = {quantity.key: quantity for quantity in quantities(vehicle, loadout)}
    roof, water, fuel = known["roof"], known["kind:water"], known["fuel"]
    says(page, what_if_words.map_words(sweep(vehicle, loadout, roof, water), US).splitlines()[0])
    pounds = round(US.scale("mass").value(roof.now)) - 5
    press(page, roof.name, "ArrowLeft", 5)
    settings = {roof: US.scale("mass").si(pounds), water: water.now, fuel: fuel.now}
    says(page, what_if_words.settings_words(settings, US))
    says(page, what_if_words.tightest_words(evaluate(vehicle, tried(loadout, settings)), US))
    press(page, fuel.name, "ArrowLeft", 2)
    step = dial_of(fuel, fuel.now, US).step
    settings[fuel] = fuel.high - 2 * US.scale("volume").si(step)
    says(page, what_if_words.settings_words(settings, US))
    other = sweep(vehicle, tried(loadout, {fuel: settings[fuel]}), roof, water)
    for line in what_if_words.map_words(other, US).splitlines():
        says(page, line)
    axis = page.locator(".js-plotly-plot .xtitle").first
    expect(axis).to_have_text("Load on the roof rack, lb")
    assert season.version == start  # nothing is written by trying out
    lab.screenshot(page, "what-if-map")


def test_two_loadouts_side_by_side(lab: Lab, season: Season) -> None:
    """The comparison's sentences, a rating's change, and where a thing rides in each."""
    page = lab.open_page(PAGE)
    found = compare([Departure(season, name).judge() for name in (FRIDAY, SCOUTING)])
    for line in what_if_words.compare_words(found, US).splitlines():
        says(page, line)
    table = page.locator(".loadout-words table").filter(has_text=f"2 {SCOUTING}").first
    row = what_if_words.rating_rows(found, US)[1]
    expect(table.locator("tr").filter(has_text=row[0]).first).to_contain_text(row[2])
    moved = page.locator(".loadout-words table").filter(has_text="Rides differently")
    for name, *where in what_if_words.difference_rows(found, US)[:5]:
        expect(moved.locator("tr").filter(has_text=name).first).to_contain_text("".join(where))
    expect(
        page.locator("svg[role=img]").filter(has_text="Where does the center of gravity go?")
    ).to_be_visible()
    page.locator("svg[role=img]").first.scroll_into_view_if_needed()
    lab.screenshot(page, "what-if-compare")


def test_what_was_tried_is_kept_named_and_left_again(lab: Lab, season: Season) -> None:
    """A new loadout with the tried fuel, one entry; then back to the one before; then undone."""
    page = lab.open_page(PAGE)
    start, names = season.version, [loadout.name for loadout in season.loadouts]
    press(page, "Fuel in the tank", "Home", 1)
    says(page, "Fuel in the tank: 0 gal")
    page.get_by_placeholder("Name of the new loadout").fill("Dry run")
    page.get_by_role("button", name="Keep as a new loadout").click()
    expect(page.get_by_role("button", name=f"Go back to {FRIDAY}")).to_be_visible()
    expect(page.get_by_label("Loadout").first).to_have_value("Dry run")
    assert season.version == start + 1
    assert season.loadout("Dry run").fuel_l == 0
    assert season.loadout(FRIDAY).fuel_l > 0
    page.get_by_role("button", name=f"Go back to {FRIDAY}").click()
    expect(page.get_by_label("Loadout").first).to_have_value(FRIDAY)
    page.get_by_role("button", name="Undo: Dry run").click()
    expect(page.get_by_text("Undone: Dry run")).to_be_visible(timeout=15_000)
    assert [loadout.name for loadout in season.loadouts] == names


def test_trying_out_and_going_back(lab: Lab, season: Season) -> None:
    """Back to what is kept: the slider, the words, and the map stand where they stood."""
    page = lab.open_page(PAGE)
    known = {q.key: q for q in quantities(season.vehicle, season.loadout(FRIDAY))}
    before = {known[key]: known[key].now for key in ("roof", "kind:water", "fuel")}
    press(page, "Water in all cans", "Home", 1)
    says(page, "Water in all cans: 0 gal")
    page.get_by_role("button", name="Go back to what is kept").click()
    says(page, what_if_words.settings_words(before, US))


def test_the_joint_chance_appears_and_more_draws_can_be_stopped(lab: Lab, season: Season) -> None:
    """The chance that any rating is over, as the package draws it; then many more, stopped half way."""
    page = lab.open_page(PAGE)
    report = evaluate(season.vehicle, season.loadout(FRIDAY))
    drawing = draw(Doubt(Shares(season.vehicle, season.loadout(FRIDAY))))
    says(page, doubt_words.joint_words(drawing, report))
    key = doubt_words.most_in_doubt(drawing, report)
    assert key is not None
    for row in doubt_words.first_rows(drawing.doubt, key, US):
        expect(
            page.locator(".loadout-words tr").filter(has_text=row[1]).filter(has_text=row[3]).first
        ).to_be_visible()
    picture = page.locator("svg[role=img]").filter(has_text="How sure is each rating?")
    picture.scroll_into_view_if_needed()
    expect(picture).to_contain_text(doubt_words.interval_words(drawing.rating(key), US))
    lab.screenshot(page, "what-if-doubt")
    more = page.get_by_role("button", name="Run more trials")
    stop = more.locator("xpath=..").locator("button", has_text="Stop")
    more.click()
    stop.click()  # waits until it can be pressed
    expect(stop).to_be_disabled()
    said = page.locator(".loadout-words").filter(has_text="simulation,").first
    expect(said).to_contain_text(re.compile(r"simulation, [\d,]+ trials"))
    count = int((re.search(r"([\d,]+) trials", said.inner_text()) or [""])[1].replace(",", ""))
    assert 100_000 <= count < 10_000_000
    assert Path(lab.running.home).exists()


def test_less_doubt_of_the_vehicle_narrows_every_axle(lab: Lab, season: Season) -> None:
    """The first assumed doubt by keyboard to nothing: the rear axle's interval is the package's."""
    from loadcalc.plan.assumed import Assumed

    page = lab.open_page(PAGE)
    press(page, "Each person, ±", "Home", 1)
    doubt = Doubt(Shares(season.vehicle, season.loadout(FRIDAY)), Assumed(person_kg=0.0))
    told = doubt.rating("rear_axle")
    picture = page.locator("svg[role=img]").filter(has_text="How sure is each rating?")
    expect(picture).to_contain_text(doubt_words.interval_words(told, US))
