"""The roof page as a person uses it: drag by mouse and finger, keys, turning, arranging, printing.

Every expected number is computed from the package on the season as it is on disk.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from loadcalc import evaluate
from loadcalc.model.quantities import US
from loadcalc.plan.roof_layout.deck import Thing, deck_of, judge, thing_on, things_on
from loadcalc.season import Season
from tests.browser.lab import Lab, Running
from workbook.panels.desk import ratings_words as words
from workbook.panels.roof import roof_words

ROOF, FRIDAY = "05-roof-carrier.ipynb", "Friday departure"
SHELTER, CHAIRS = "stowed:crew-shelter", "stowed:folding-chair"
INCH = 0.0254
# A bounding box would take in the stroke of the deck's outline.
DECK_PX = """(deck) => {
  const { x, y, width, height } = deck, all = deck.getScreenCTM();
  const corner = (a, b) => new DOMPoint(a, b).matrixTransform(all);
  const from = corner(x.baseVal.value, y.baseVal.value);
  const to = corner(x.baseVal.value + width.baseVal.value, y.baseVal.value + height.baseVal.value);
  return { x: from.x, y: from.y, width: to.x - from.x, height: to.y - from.y };
}"""
SCROLLED = "document.querySelector('.jp-WindowedPanel-outer').scrollTop"
MARKUP = "<img src=x onerror=\"document.title='run'\"> shelter"
PAGE_OF_PDF = re.compile(rb"/Type\s*/Page\b")


class Fingers:
    """A browser whose new profiles have a touch screen."""

    def __init__(self, browser: Browser) -> None:
        self.browser = browser

    def new_context(self, **options: Any) -> BrowserContext:
        """A profile with fingers."""
        return self.browser.new_context(has_touch=True, **options)


@pytest.fixture
def touch_lab(running: Running, browser: Browser, shared_lab: Lab) -> Iterator[Lab]:
    """The running workbook on a touch screen; no other tab is on its kernel."""
    shared_lab.leave_tab()
    fingers: Any = Fingers(browser)
    view = Lab(running, fingers)
    yield view
    view.close()


def open_plan(lab: Lab) -> Page:
    """The page with its plan in view, and nothing below it on the move."""
    page = lab.open_page(ROOF)
    page.set_viewport_size({"width": 1280, "height": 1100})
    plan = page.locator(".rp-svg")
    expect(plan).to_be_visible()
    plan.scroll_into_view_if_needed()
    page.wait_for_timeout(500)
    return page


def box(page: Page, key: str) -> Locator:
    """A box of the plan."""
    return page.locator(f'.rp-box[data-key="{key}"]')


def middle(at: Locator) -> tuple[float, float]:
    """The middle of what is seen of it."""
    bounds = at.bounding_box()
    assert bounds is not None
    return bounds["x"] + bounds["width"] / 2, bounds["y"] + bounds["height"] / 2


def spot(page: Page, season: Season, aft_in: float, left_in: float) -> tuple[float, float]:
    """The point of the screen over a place on the carrier, in inches; from the deck as it is drawn."""
    assert season.carrier is not None
    deck, bounds = deck_of(season.carrier), page.locator(".rp-deck").evaluate(DECK_PX)
    across = (aft_in * INCH - deck.fore_m) / deck.length_m
    down = (left_in * INCH - deck.right_m) / deck.width_m
    return bounds["x"] + bounds["width"] * across, bounds["y"] + bounds["height"] * down


def drag(page: Page, season: Season, key: str, aft_in: float, left_in: float, *, drop: bool = True) -> None:
    """Take a box by its middle and carry it to a place, in many small moves."""
    page.mouse.move(*middle(box(page, key).locator("> rect")))
    page.mouse.down()
    page.mouse.move(*spot(page, season, aft_in, left_in), steps=20)
    if drop:
        page.mouse.up()


def kept(season: Season, key: str) -> Thing:
    """A thing as the season on disk has it."""
    return thing_on(season.loadout(FRIDAY), key)


def lies_at(season: Season, key: str, aft_in: float, left_in: float) -> None:
    """A thing lies there, in inches, on the carrier's top."""
    place = kept(season, key).place
    assert place is not None
    assert (place.aft_m / INCH, place.left_m / INCH) == pytest.approx((aft_in, left_in), abs=1e-9)


def told(page: Page, season: Season, key: str) -> None:
    """Wait until the plan says of a box what the package says of it on disk, and draws it there."""
    loadout = season.loadout(FRIDAY)
    assert loadout.carrier is not None
    thing = thing_on(loadout, key)
    said = roof_words.told(thing, judge(loadout), deck_of(loadout.carrier), US)
    expect(page.locator(".rp-report")).to_have_text(said)
    expect(box(page, key)).to_have_attribute("aria-label", said)
    assert thing.place is not None
    want = spot(page, season, thing.place.aft_m / INCH, thing.place.left_m / INCH)
    assert middle(box(page, key).locator("> rect")) == pytest.approx(want, abs=0.2)  # of a pixel


def rows(page: Page, season: Season) -> None:
    """Wait until the rows beside the plan say what the package says of the season on disk."""
    report = evaluate(season.vehicle, season.loadout(FRIDAY))
    for key in ("front_axle", "rear_axle"):
        rating = report.rating(key)
        row = page.locator(".loadout-words tr").filter(has_text=rating.name).first
        expect(row).to_contain_text(words.amount(rating, rating.load, US))
        expect(row).to_contain_text(words.room(rating, US))
    expect(page.locator(".loadout-words").filter(has_text=words.center(report, US)).first).to_be_visible()


def settled(page: Page, season: Season, version: int) -> None:
    """Wait until the ledger has an entry more than `version`."""
    kept_line = page.locator("[role=status]").filter(has_text=re.compile("^Kept in the ledger:"))
    expect(kept_line).to_be_visible()
    for _ in range(100):
        if season.version > version:
            return
        page.wait_for_timeout(100)
    pytest.fail("nothing was kept")


def test_dragging_a_box_moves_axles_and_center_live_and_is_one_entry(lab: Lab, season: Season) -> None:
    """In the hand: the axle rows follow, the ledger does not. Let go: one entry; undo takes it back."""
    page = open_plan(lab)
    start, before = season.version, evaluate(season.vehicle, season.loadout(FRIDAY))
    rear_kg = before.rear_axle_kg
    drag(page, season, SHELTER, 78, 10, drop=False)
    # 31 lb carried from its zone's middle, 58 in aft, to 78 in; the wheelbase is 112 in
    held = US.mass(rear_kg + 31 * 0.45359237 * 20 / 112)
    row = page.locator(".loadout-words tr").filter(has_text=before.rating("rear_axle").name).first
    expect(row).to_contain_text(held)
    expect(page.locator(".rp-ghost")).to_be_visible()
    assert season.version == start
    page.mouse.up()
    settled(page, season, start)
    assert season.version == start + 1
    lies_at(season, SHELTER, 78, 10)
    told(page, season, SHELTER)
    rows(page, season)
    lab.screenshot(page, "roof-dragged")
    page.get_by_role("button", name="Undo", exact=True).click()
    expect(box(page, SHELTER)).to_have_attribute("aria-label", re.compile("not laid out yet"))
    assert kept(season, SHELTER).place is None
    rows(page, season)


def test_keys_lay_out_push_turn_pin_and_take_off(lab: Lab, season: Season) -> None:
    """Enter, arrows, Shift with arrows, R, P, Delete, Ctrl+Z: each does what the help line says, on disk too."""
    page = open_plan(lab)
    start = season.version
    box(page, SHELTER).focus()
    page.keyboard.press("Enter")
    settled(page, season, start)
    first = kept(season, SHELTER).place
    assert first is not None
    told(page, season, SHELTER)
    for key in ("ArrowRight", "ArrowRight", "ArrowRight", "ArrowDown", "Shift+ArrowUp"):
        page.keyboard.press(key)
    expect(page.locator(".rp-report")).to_contain_text("behind the roof rack's")
    page.wait_for_timeout(1500)  # they rest, and are kept as one
    assert season.version == start + 2
    lies_at(season, SHELTER, first.aft_m / INCH + 3, first.left_m / INCH + 1 - 0.25)
    told(page, season, SHELTER)
    page.keyboard.press("r")
    expect(page.locator(".rp-report")).to_contain_text("crosswise")
    page.keyboard.press("p")
    expect(page.locator(".rp-report")).to_contain_text("pinned")
    page.wait_for_timeout(1500)
    assert (kept(season, SHELTER).turned, kept(season, SHELTER).pinned) == (True, True)
    told(page, season, SHELTER)
    expect(box(page, SHELTER)).to_be_focused()
    page.keyboard.press("Control+z")
    expect(page.locator(".rp-report")).to_contain_text("Undone")
    assert not kept(season, SHELTER).turned
    page.keyboard.press("Delete")
    expect(page.locator(".rp-report")).to_contain_text("not laid out yet")
    page.wait_for_timeout(1500)
    assert kept(season, SHELTER).place is None
    assert page.locator(".jp-Cell").count() > 10  # no key of the notebook's own was pressed
    rows(page, season)


def test_overlap_and_covered_tie_points_are_told_in_words(lab: Lab, season: Season) -> None:
    """Two boxes over each other and over a tie point; Escape in the middle of a drag brings a box back."""
    page = open_plan(lab)
    start = season.version
    drag(page, season, SHELTER, 78, 12)
    settled(page, season, start)
    drag(page, season, CHAIRS, 78, 18)
    told_last = page.locator(".rp-report")
    expect(told_last).to_contain_text("Crew shelter and Folding chair × 3 overlap by")
    page.wait_for_timeout(1500)
    told(page, season, CHAIRS)
    loadout = season.loadout(FRIDAY)
    wrong = roof_words.problems(judge(loadout), US)
    assert any(said.startswith("Tie point Middle left is under") for said in wrong)
    for said in wrong:
        expect(page.locator(".rp-problems li").filter(has_text=said)).to_have_text(f"▲ {said}")
    expect(page.locator(".rp-covered")).to_have_count(len(judge(loadout).covered))
    now = season.version
    drag(page, season, CHAIRS, 95, -10, drop=False)
    page.keyboard.press("Escape")
    page.mouse.up()
    expect(told_last).to_have_text("Folding chair × 3: back where it was.")
    page.wait_for_timeout(1200)
    assert season.version == now
    rows(page, season)


def test_a_finger_drags_and_the_buttons_do_the_rest(touch_lab: Lab, season: Season) -> None:
    """Touch events only: the box follows, the page does not scroll; then Turn by tapping its button."""
    page = open_plan(touch_lab)
    start, scrolled = season.version, page.evaluate(SCROLLED)
    finger = touch_lab.context.new_cdp_session(page)
    x, y = middle(box(page, SHELTER).locator("> rect"))
    to_x, to_y = spot(page, season, 70, -8)
    finger.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for step in range(1, 16):
        at = {"x": x + (to_x - x) * step / 15, "y": y + (to_y - y) * step / 15}
        finger.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [at]})
    assert page.evaluate(SCROLLED) == scrolled
    finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    settled(page, season, start)
    lies_at(season, SHELTER, 70, -8)
    told(page, season, SHELTER)
    page.get_by_role("button", name="Turn", exact=True).tap()
    expect(page.locator(".rp-report")).to_contain_text("crosswise")
    page.wait_for_timeout(1500)
    assert kept(season, SHELTER).turned
    told(page, season, SHELTER)
    rows(page, season)


def status(page: Page) -> Locator:
    """The line that says how the search goes."""
    return page.locator(".loadout-words > strong").filter(
        has_text=re.compile("^(Looking|Proven|Best so far|Nothing fits|Stopp|No plan)")
    )


def arrange(page: Page) -> None:
    """Press the button as a hand does: once more when a page that was still settling moved from under the pointer."""
    for _ in range(3):
        page.get_by_role("button", name="Arrange for me").click()
        try:
            expect(status(page)).to_be_visible()
        except AssertionError:
            continue
        return
    raise AssertionError("the search says nothing after three presses")


def test_arrange_lays_everything_out_as_one_entry(lab: Lab, season: Season) -> None:
    """Nothing overlaps, hangs over, or covers a tie point, on disk and on the page; one undo takes it back."""
    page = open_plan(lab)
    start, gear = season.version, season.loadout(FRIDAY).gear
    arrange(page)
    expect(status(page)).to_have_text(re.compile("^(Proven best|Best so far, not proven)"), timeout=60_000)
    settled(page, season, start)
    assert season.version == start + 1
    loadout = season.loadout(FRIDAY)
    found = judge(loadout)
    assert (found.overlapping, found.hanging, found.covered, found.not_laid_out) == ((), (), (), ())
    for thing in things_on(loadout):
        expect(box(page, thing.key)).to_have_attribute("aria-label", re.compile(re.escape(thing.name)))
        assert thing.place is not None
        want = spot(page, season, thing.place.aft_m / INCH, thing.place.left_m / INCH)
        assert middle(box(page, thing.key).locator("> rect")) == pytest.approx(want, abs=0.2)
    expect(page.locator(".rp-problems li")).to_have_text([roof_words.CLEAN])
    rows(page, season)
    lab.screenshot(page, "roof-arranged")
    page.get_by_role("button", name=re.compile("Undo: Roof rack arranged")).click()
    expect(page.get_by_text("Undone: Roof rack arranged: 7 things")).to_be_visible()
    assert season.loadout(FRIDAY).gear == gear


def test_a_search_is_stopped_by_its_button_and_claims_nothing(lab: Lab, season: Season) -> None:
    """Without the rule of the tie points the proof takes long: the page stays alive, Stop keeps what there is."""
    page = open_plan(lab)
    start = season.version
    page.get_by_label("Leave every tie point free").uncheck()
    arrange(page)
    expect(status(page)).to_have_text(re.compile("^Looking for better: plan"), timeout=60_000)
    page.get_by_role("button", name="Stop and keep the best").click()
    expect(status(page)).to_have_text(re.compile("^Best so far, not proven best"), timeout=30_000)
    settled(page, season, start)
    assert judge(season.loadout(FRIDAY)).not_laid_out == ()
    assert judge(season.loadout(FRIDAY)).overlapping == ()


def test_the_page_prints_the_plan_without_its_buttons_and_the_sheet_with_all_that_is_on_the_roof(
    lab: Lab, season: Season
) -> None:
    """On paper the plan has no buttons; the load-up sheet names what is on the roof, as typed."""
    season.set_item("crew-shelter", name=MARKUP)
    page = open_plan(lab)
    expect(box(page, SHELTER)).to_have_attribute("aria-label", re.compile(re.escape(MARKUP)))
    expect(page.locator(".rp-root img")).to_have_count(0)
    page.emulate_media(media="print")
    expect(page.locator(".rp-svg")).to_be_visible()
    expect(page.locator(".rp-tools")).to_be_hidden()
    expect(page.locator(".rp-help")).to_be_hidden()
    page.emulate_media(media="screen")
    frame = page.locator("iframe[title='Load-up sheet']")
    frame.scroll_into_view_if_needed()
    html = frame.get_attribute("srcdoc")
    assert html is not None
    paper = lab.context.new_page()
    paper.set_content(html)
    for thing in things_on(season.loadout(FRIDAY)):
        expect(paper.locator("#sheet")).to_contain_text(thing.name.partition(" × ")[0])
    assert len(PAGE_OF_PDF.findall(paper.pdf(format="A4"))) == 3
