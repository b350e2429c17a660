"""What hangs on the hitch, what is towed, and what may still be, in rows and sentences."""

from __future__ import annotations

from loadcalc.checks import Judgment, Report
from loadcalc.checks.hitch import (
    SHARING_MOST,
    SHARING_SOURCE,
    TONGUE_SOURCE,
    Lever,
    combination_kg,
    on_hitch,
    pull_on_grade,
    tongue_share,
    tongue_verdict,
    tow_room,
    trailer_axle_kg,
)
from loadcalc.model import Trailer
from loadcalc.model.quantities import Units
from workbook.panels.desk.findings_words import about
from workbook.panels.desk.palette import MARKS
from workbook.panels.desk.ratings_words import amount, percent, room

LEVER_HEADS = ("Behind the rear axle", "Mass", "How far behind", "Front axle", "Rear axle")
RATING_HEADS = ("Rating", "Load", "Limit", "Room", "Holds when", "What counts")
ROOM_HEADS = ("Rating", "Share of the trailer that counts", "Heaviest trailer", "Which first")
USUAL_SHARE = 0.12
SHARING = (
    f"A load-sharing suspension puts at most {SHARING_MOST:.0%} over an equal share on any tire ({SHARING_SOURCE}); "
    "a scale tells better."
)
SWAY = {
    "light": "a light tongue lets a trailer sway: move its load forward",
    "within": "within it",
    "heavy": "a heavy tongue loads hitch and rear axle and lightens the front: move its load "
    "a little back, never under the manual's minimum",
}
CAUTION = (
    "Makers' tow ratings rest on conditions of their own: brakes, hitch, speed, height, a driver and little else "
    "aboard. The handbook and local law come first. What a trailer does on a side slope or in a turn is not in these "
    "numbers."
)


def lever_rows(report: Report, units: Units, grade_deg: float = 0.0) -> list[tuple[str, ...]]:
    """What hangs behind the rear axle: mass, lever, and what each axle gains or loses."""
    trailer = report.shares.loadout.trailer
    found: list[tuple[str, Lever]] = [("On the hitch: rack, box, bikes", on_hitch(report, tongue=False))]
    if trailer is not None:
        found.append((f"{trailer.name}: tongue weight", on_hitch(report, tongue=True)))
    rows: list[tuple[str, ...]] = [
        (
            name,
            units.mass(lever.mass_kg),
            units.length(lever.behind_m),
            units.mass_change(lever.front_kg),
            units.mass_change(lever.rear_kg),
        )
        for name, lever in found
        if lever.mass_kg > 0
    ]
    ball = report.shares.vehicle.hitch
    if trailer is not None and ball is not None and grade_deg:
        pull = pull_on_grade(
            trailer_kg=trailer.mass_kg - trailer.tongue_kg,
            nose_up_deg=grade_deg,
            ball_up_m=ball.up_m,
            wheelbase_m=report.shares.vehicle.wheelbase_m,
        )
        name = f"{trailer.name}: {'pull' if grade_deg > 0 else 'push'} at the ball, on the slope set above"
        changes = (units.mass_change(pull.front_kg), units.mass_change(pull.rear_kg))
        rows.append((name, units.mass(abs(pull.mass_kg)), "", *changes))
    return rows


def rating_rows(report: Report, units: Units) -> list[tuple[str, ...]]:
    """The hitch's and the trailer's ratings, those with something on them first."""
    found = [rating for rating in report.ratings if rating.group == "hitch"]
    found.sort(key=lambda rating: not rating.load)
    return [
        (
            rating.name,
            amount(rating, rating.load, units),
            "not known" if rating.limit is None else amount(rating, rating.limit, units),
            f"{MARKS['over']} {room(rating, units)}" if rating.over else room(rating, units),
            rating.condition,
            rating.counts,
        )
        for rating in found
    ]


def room_rows(report: Report, units: Units, share: float) -> list[tuple[str, ...]]:
    """The heaviest trailer by each rating, the one that limits first marked, the unknown ones said."""
    rows: list[tuple[str, ...]] = []
    for index, found in enumerate(tow_room(report, share=share)):
        kg = found.trailer_kg
        if kg is None:
            said, note = "limit not known", ""
        elif kg <= 0:
            said, note = "none", f"{MARKS['over']} full without a trailer"
        else:
            said, note = units.mass(kg, grouped=True), "◂ limits first" if index == 0 else ""
        rows.append((found.name, f"{found.per_kg:.2f}", said, note))
    return rows


def trailer_words(report: Report, units: Units) -> str:
    """The trailer of this loadout: its tongue share, its own wheels, the combination."""
    trailer = report.shares.loadout.trailer
    if trailer is None:
        return "No trailer on this departure."
    if trailer.mass_kg <= 0:
        return f"{trailer.name} has no mass yet: enter what it weighs as it is loaded."
    share = tongue_share(tongue_kg=trailer.tongue_kg, trailer_kg=trailer.mass_kg)
    verdict = tongue_verdict(share)
    mark = "" if verdict == "within" else f"{MARKS['over']} "
    own_kg = trailer_axle_kg(tongue_kg=trailer.tongue_kg, trailer_kg=trailer.mass_kg)
    combination = report.rating("combination")
    limit = (
        "its limit is not known"
        if combination.limit is None
        else f"{percent(combination)}, {room(combination, units)}"
    )
    return "\n".join(
        (
            f"{mark}{trailer.name}: the tongue is {share:.1%} of {units.mass(trailer.mass_kg, grouped=True)}; "
            f"{SWAY[verdict]} ({TONGUE_SOURCE}).",
            f"{units.mass(own_kg, grouped=True)} stay on its own wheels. Vehicle and trailer together: "
            f"{units.mass(combination_kg(report), grouped=True)} ({limit}).",
            *axle_words(trailer, own_kg, units),
        )
    )


def axle_words(trailer: Trailer, own_kg: float, units: Units) -> tuple[str, ...]:
    """What each of two axles carries, or why nobody knows; nothing to say of one."""
    if trailer.axles == 1:
        return ()
    if not trailer.axle_shares:
        return (
            "How its two axles share that is not known: they and the ball are one support more than statics can tell. "
            "Weigh each axle. Until then neither they nor its tires are judged.",
        )
    front, rear = (units.mass(share * own_kg, grouped=True) for share in trailer.axle_shares)
    if trailer.weighed_axles_kg is None:
        return (f"Its two axles share alike, {front} each. {SHARING}",)
    return (f"Front axle {front}, rear axle {rear}: as they shared it on the scale.",)


def lever_sentence(report: Report, units: Units) -> str:
    """What the lever does, with this load's own numbers."""
    for tongue, name in ((True, "tongue weight"), (False, "load on the hitch")):
        lever = on_hitch(report, tongue=tongue)
        if lever.mass_kg > 0:
            front = units.mass(abs(lever.front_kg))
            takes = (
                f"takes {front} off the front axle"
                if lever.front_kg < 0
                else f"adds {front} to the front axle"
            )
            mass, rear = units.mass(lever.mass_kg), units.mass(lever.rear_kg)
            return f"The {name} of {mass} adds {rear} to the rear axle and {takes}."
    return "Nothing hangs on the hitch. What does would add more than itself to the rear axle and lighten the front."


def room_sentence(report: Report, units: Units, share: float) -> str:
    """What may still be towed behind this load, and which rating says so."""
    if report.shares.vehicle.hitch is None:
        return (
            "No hitch is entered, so nothing is said of towing: enter where the ball is on the ratings page."
        )
    rooms = tow_room(report, share=share)
    known = [found for found in rooms if found.trailer_kg is not None]
    missing = [_inside(found.name) for found in rooms if found.trailer_kg is None]
    unsaid = f" Not known, so not in it: {'; '.join(missing)}." if missing else ""
    if not known:
        return f"No rating that a trailer loads has a known limit.{unsaid}"
    first = known[0]
    kg = first.trailer_kg or 0.0
    if kg <= 0:
        return f"{MARKS['over']} No room for any trailer: {_inside(first.name)} is full without one.{unsaid}"
    return (
        f"With {share:.0%} on the tongue, {_inside(first.name)} limits first, at a trailer of "
        f"{units.mass(kg, grouped=True)}.{unsaid}"
    )


def _inside(name: str) -> str:
    return name if name[:2].isupper() else name[0].lower() + name[1:]


def start_share(trailer: Trailer | None) -> float:
    """The tongue share to begin with: the trailer's own when it has one, else a usual one."""
    if trailer is None or trailer.mass_kg <= 0 or not trailer.tongue_kg:
        return USUAL_SHARE
    share = tongue_share(tongue_kg=trailer.tongue_kg, trailer_kg=trailer.mass_kg)
    return min(max(share, 0.05), 0.25)


def share_sentence() -> str:
    """The span that manuals give, with its status."""
    return f"On the tongue: {TONGUE_SOURCE}."


def hitch_words(judgment: Judgment, units: Units, share: float) -> str:
    """The hitch's result as text."""
    said = (
        about(judgment, units, "hitch"),
        trailer_words(judgment, units),
        lever_sentence(judgment, units),
        room_sentence(judgment, units, share),
    )
    return "\n".join(filter(None, said))
