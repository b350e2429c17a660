"""The roof rack in words, in the reader's units: where a thing lies, what is wrong, how an arrangement went."""

from __future__ import annotations

from collections.abc import Sequence

from loadcalc.model import Loadout
from loadcalc.model.quantities import Units
from loadcalc.plan.roof_layout import arrange
from loadcalc.plan.roof_layout import layout_rules as rules
from loadcalc.plan.roof_layout.arrange import Arrangement, Cause, Outcome
from loadcalc.plan.roof_layout.deck import LayoutFaults, Thing, deck_of, judge, load_on, things_on
from loadcalc.plan.roof_layout.footprint import Footprint, Overhang
from workbook.panels.desk.ratings_words import sideways

CAUTION = (
    "This plan is for packing. It does not say that the load will hold: see what this page says of bars and straps. "
    "Makers' ratings and local law come first. Never load or untie the roof rack with the vehicle on a slope, or with "
    "traffic beside it."
)
LEGEND = (
    "To scale; slats as counted on page 01, else for orientation only. Ring: tie point. "
    "Cross: center of the load on the roof rack. "
    "Dashed rim: size not known. Dot before a name: pinned."
)
KEYS = (
    "Tab to a box, then: arrow keys move it, with Shift in fine steps; R turns it; P pins it where it lies; "
    "Delete takes it off the plan; Enter lays out a box that is not yet; Ctrl+Z undoes. Or drag, by mouse or finger."
)
CLEAN = "Of what is laid out, nothing overlaps, hangs over an edge, or covers a tie point."
NOT_YET = "Nothing is laid out yet."
RULE_WORDS = {
    rules.BALANCE: "the sideways balance",
    rules.FORE_AND_AFT: "the forward and rearward limits of the load's center",
    rules.TIE_POINTS: "the free tie points",
    rules.REACHABLE: "what is to be kept at hand at an edge",
    rules.GROUPS: "the groups that stay together",
    rules.HALVES: "what is to lie in the front or rear half",
    rules.PINNED: "what is pinned",
}


def where(thing: Thing, deck: Footprint, units: Units) -> str:
    """ "front edge 3 in behind the roof rack's, middle 4 in left of the center line, crosswise"."""
    if thing.place is None:
        return f"not laid out yet; it counts at the middle of {thing.zone}"
    box = thing.footprint
    gap = box.fore_m - deck.fore_m
    if units.length(abs(gap)) == units.length(0.0):
        front = "front edge at the roof rack's"
    else:
        front = f"front edge {units.length(abs(gap))} {'behind' if gap > 0 else 'ahead of'} the roof rack's"
    side = sideways(box.left_m, units)
    middle = side if side.startswith("on") else f"middle {side}"
    return f"{front}, {middle}, {'crosswise' if thing.turned else 'lengthwise'}{', pinned' if thing.pinned else ''}"


def size(thing: Thing, units: Units) -> str:
    """ "50 × 9 × 9 in", or that nobody entered one."""
    scale = units.scale("length")
    sides = (thing.size.length_m, thing.size.width_m, thing.size.height_m)
    told = f"{' × '.join(scale.number(m) for m in sides)} {scale.unit}"
    return told if thing.size_known else f"size not known, drawn as {told}"


def problems(found: LayoutFaults, units: Units) -> list[str]:
    """One sentence for each thing that is wrong: overlaps, then overhangs, then covered tie points."""
    said = [
        f"{o.one.name} and {o.other.name} overlap by {units.length(o.by.along_m)} along "
        f"and {units.length(o.by.across_m)} across."
        for o in found.overlapping
    ]
    said += [f"{h.thing.name} hangs over {_beyond(h.by, units)}." for h in found.hanging]
    said += [
        f"Tie point {c.point.name} is under {c.thing.name} and can't be reached once that is loaded."
        for c in found.covered
    ]
    return said


def _beyond(by: Overhang, units: Units) -> str:
    sides = zip(("front", "rear", "right", "left"), by, strict=True)
    return " and ".join(f"the {side} edge by {units.length(m)}" for side, m in sides if m > 0)


def verdict(loadout: Loadout, units: Units) -> list[str]:
    """What is wrong with the layout; or that nothing is, which says nothing of what is not laid out."""
    wrong = problems(judge(loadout), units)
    if wrong:
        return wrong
    return [CLEAN if any(thing.place is not None for thing in things_on(loadout)) else NOT_YET]


def not_known(found: LayoutFaults) -> list[str]:
    """What the plan does not know: things that are not laid out, sizes that nobody entered."""
    said = []
    if found.not_laid_out:
        many = len(found.not_laid_out)
        count = "1 thing is" if many == 1 else f"{many} things are"
        said.append(
            f"{count} not laid out yet and {'counts' if many == 1 else 'count'} at the middle of "
            f"{'its zone' if many == 1 else 'their zones'}: {names(found.not_laid_out)}."
        )
    if found.size_assumed:
        said.append(f"Size not known, so one is assumed: {names(found.size_assumed)}.")
    return said


def names(things: Sequence[Thing]) -> str:
    """Names in a row."""
    return "; ".join(thing.name for thing in things)


def told(thing: Thing, found: LayoutFaults, deck: Footprint, units: Units) -> str:
    """All about one thing: what it is, where it lies, what is wrong with that. To be read, or read out."""
    wrong = problems(found.about(thing.key), units)
    head = f"{thing.name}, {units.mass(thing.mass_kg)}, {size(thing, units)}: {where(thing, deck, units)}."
    return " ".join([head, *wrong])


def load_words(loadout: Loadout, units: Units) -> str:
    """One sentence: what stands on the roof rack and where its center is."""
    load, carrier = load_on(loadout), loadout.carrier
    if carrier is None:
        return "The roof rack is off the vehicle."
    if load is None:
        return "Nothing stands on the roof rack."
    deck = deck_of(carrier)
    off = load.aft_m - deck.aft_m
    along = (
        "at the roof rack's middle"
        if units.length(abs(off)) == units.length(0.0)
        else f"{units.length(abs(off))} {'behind' if off > 0 else 'ahead of'} the roof rack's middle"
    )
    return (
        f"On the roof rack: {units.mass(load.mass_kg)}, its center {along} "
        f"and {sideways(load.left_m, units)}."
    )


def layout_words(loadout: Loadout, units: Units) -> str:
    """The whole plan as text."""
    if loadout.carrier is None or not things_on(loadout):
        return load_words(loadout, units)
    return "\n".join([load_words(loadout, units), *verdict(loadout, units), *not_known(judge(loadout))])


# Arranging --------------------------------------------------------------------------------------------------


def plan_words(plan: Arrangement, units: Units) -> str:
    """One plan, in a few words."""
    spread = units.length(plan.spread_m)
    return f"plan {plan.number} after {plan.seconds:.1f} s, weight on average {spread} from where it should gather"


def outcome_words(outcome: Outcome, units: Units, *, cell_m: float) -> str:
    """How a search ended; never more than what was shown. cell_m : its grid [m]."""
    scale = units.scale("length")
    plan, grid = outcome.plan, f"{scale.value(cell_m):.3g} {scale.unit}"
    if outcome.end == arrange.BEST and plan is not None:
        return f"Proven best for these rules, on a grid of {grid}: {plan_words(plan, units)}."
    if plan is not None:
        why = "stopped" if outcome.end == arrange.STOPPED else f"time was up after {outcome.seconds:.0f} s"
        return f"Best so far, not proven best ({why}): {plan_words(plan, units)}."
    if outcome.end == arrange.STOPPED:
        return "Stopped before a plan was found."
    if outcome.end == arrange.NOTHING_FITS:
        head = f"Nothing fits: no plan keeps all these rules, on a grid of {grid}."
    else:
        head = f"No plan was found in {outcome.seconds:.0f} s; that does not prove that there is none."
    return f"{head} {cause_words(outcome.cause, units)}".rstrip()


def cause_words(cause: Cause | None, units: Units) -> str:
    """Why nothing fits, and what would help."""
    if cause is None:
        return "Which rule or thing is in the way was not found out in the time for it."
    if cause.kind == arrange.TOO_LARGE:
        return f"Longer or wider than the roof rack, whichever way it lies: {'; '.join(cause.names)}."
    if cause.kind == arrange.AREA:
        return (
            f"The things need {area(cause.need_m2, units)} of floor, and there are {area(cause.have_m2, units)}: "
            "something stays home, or is stacked and entered as one item."
        )
    if cause.kind == arrange.RULES:
        said = " or ".join(RULE_WORDS[name] for name in cause.names)
        return f"In the way: {said}. Without {'it' if len(cause.names) == 1 else 'any one of them'} there is a plan."
    if cause.kind == arrange.THINGS:
        return f"There is a plan when any one of these stays home: {'; '.join(cause.names)}."
    return (
        f"No single rule and no single thing is in the way: together they need {area(cause.need_m2, units)} "
        f"of {area(cause.have_m2, units)} of floor in shapes that don't go together. Leave out two, or drop two rules."
    )


def area(area_m2: float, units: Units) -> str:
    """ "16.2 sq ft" or "1.5 m²"."""
    if units.mass_unit == "kg":
        return f"{area_m2:.2f} m²"
    return f"{area_m2 / 0.3048**2:.1f} sq ft"  # the international foot, NIST SP 811 App. B
