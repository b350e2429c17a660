"""What the weigh-in page says: a judged ticket in, rows and sentences out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from loadcalc.checks.findings.finding import FIGURE, Finding
from loadcalc.checks.weighing.doubts import SHARE_BY_HOW_KNOWN, Doubts
from loadcalc.checks.weighing.scales import COVERAGE, EVEN_HALF_WIDTH
from loadcalc.checks.weighing.suspects import AXLE_SPLIT, CURB, SPLITS, UNLISTED, Suspect
from loadcalc.checks.weighing.ticket import READINGS, Gap, Ticket
from loadcalc.checks.weighing.weigh_in import Compared, WeighIn
from loadcalc.model.quantities import Units
from loadcalc.model.vehicle import Vehicle

EXPECTED_HEADS = ("Reading", "Lists say", "±, about 95%")
SUSPECT_HEADS = ("Where", "Listed", "± before", "Most likely", "± after")
NO_TICKET = (
    "No ticket yet. Weigh it by axle, packed as it is listed, standing level, trailer off, engine off: the front axle "
    "on the scale, then all of it, then the rear axle. Then press “New ticket” and write down what it showed."
)
NOTHING_TO_CORRECT = "There is nothing to correct: no ticket is judged, or lists and scale differ by next to nothing."
EMPTY_FIGURES = ("figure:curb mass", "figure:split")  # what a scale shows rests on these
MOST_SUSPECTS = 8
LEAST_KG = 0.25  # a shift below this is not worth a row
ROUGH = (
    "These are shares of one difference, by how well each thing is known; they are where to look first, not what "
    "was found. Only something put on a scale by itself is known."
)


def whole(mass_kg: float, units: Units) -> str:
    """A mass in whole pounds or kilograms: no weighbridge knows more."""
    scale = units.scale("mass")
    return units.mass(scale.si(round(scale.value(mass_kg))))


def change(mass_kg: float, units: Units) -> str:
    """A signed difference in whole pounds or kilograms."""
    scale = units.scale("mass")
    return units.mass_change(scale.si(round(scale.value(mass_kg))))


def expected_rows(expected: Mapping[str, tuple[float, float]], units: Units) -> list[tuple[str, ...]]:
    """What each kind of reading should show, with its margin of error."""
    return [
        (READINGS[key][0], whole(kg, units), f"± {whole(COVERAGE * u_kg, units)}")
        for key, (kg, u_kg) in expected.items()
    ]


def expected_words(expected: Mapping[str, tuple[float, float]], units: Units) -> str:
    """What the scale should show, in one sentence."""
    said = [
        f"{name} {whole(expected[key][0], units)} ± {whole(COVERAGE * expected[key][1], units)}"
        for key, name in (("total", "total"), ("front_axle", "front axle"), ("rear_axle", "rear axle"))
    ]
    return f"By the lists a scale should show: {', '.join(said)}."


def not_your_own(findings: Iterable[Finding]) -> str:
    """Say of which figures of the empty vehicle nobody has measured any: then a scale may show something else."""
    named = [finding.what for finding in findings if finding.kind == FIGURE and finding.key in EMPTY_FIGURES]
    if not named:
        return ""
    return f"? Not measured on your vehicle, so a scale may show something far from this: {'; '.join(named)}."


def verdict(judged: WeighIn, units: Units) -> str:
    """Whether lists and scale agree, with the reading that says most about it."""
    worst = max(judged.readings, key=lambda r: abs(r.difference_kg) / r.plus_minus_kg)
    more = "more" if worst.difference_kg > 0 else "less"
    by = f"{whole(abs(worst.difference_kg), units)} {more} than the lists"
    shows = f"on the {_lower(worst.name)} the scale shows {'what the lists say' if by[:2] == '0 ' else by}"
    margin = f"± {whole(worst.plus_minus_kg, units)} (about 95%)"
    if judged.agrees:
        return f"Lists and scale agree: {shows}, and the margin of error of both together is {margin}."
    return f"Lists and scale do not agree: {shows}, and the margin of error of both together is only {margin}."


def gap_words(gap: Gap, units: Units) -> str:
    """A sum on the ticket that does not come out."""
    parts = " + ".join(_lower(READINGS[part][0]) for part in gap.parts)
    over = "more" if gap.gap_kg > 0 else "less"
    name, by = _lower(READINGS[gap.whole][0]), whole(abs(gap.gap_kg), units)
    return (
        f"Look at the ticket first: its {name} is {by} {over} than {parts}, "
        f"and the scale may be wrong by ± {whole(gap.plus_minus_kg, units)} in that."
    )


def compared_words(reading: Compared, units: Units) -> str:
    """One reading beside its prediction."""
    state = "agrees" if reading.agrees else "▲ does not agree"
    return (
        f"{reading.name}: lists {whole(reading.predicted_kg, units)} "
        f"± {whole(COVERAGE * reading.predicted_u_kg, units)}, scale {whole(reading.measured_kg, units)} "
        f"± {whole(COVERAGE * reading.measured_u_kg, units)}; {change(reading.difference_kg, units)}: {state}."
    )


def ranked(judged: WeighIn) -> list[Suspect]:
    """The suspects worth a row, largest first; what only divides weight between readings is left out."""
    return [s for s in judged.suspects if s.kind not in SPLITS and abs(s.shift_kg) >= LEAST_KG][
        :MOST_SUSPECTS
    ]


def suspect_rows(judged: WeighIn, units: Units) -> list[tuple[str, ...]]:
    """Where the difference most likely sits: the largest one by one, the rest together, and what is the scale's."""
    shown = ranked(judged)
    rows: list[tuple[str, ...]] = [
        (
            called(s),
            whole(s.listed_kg, units) if s.listed_kg else "nothing",
            whole(EVEN_HALF_WIDTH * s.doubt_kg, units),
            change(s.shift_kg, units),
            whole(EVEN_HALF_WIDTH * s.left_kg, units),
        )
        for s in shown
    ]
    rest = [s for s in judged.suspects if s.kind not in SPLITS and s not in shown]
    if rest:
        rows.append(
            (f"{len(rest)} others together", "", "", change(sum(s.shift_kg for s in rest), units), "")
        )
    rows.append(("All of the lists together", "", "", change(judged.unexplained_kg, units), ""))
    first = judged.readings[0].name
    rows.append((f"The scale's own error ({_lower(first)})", "", "", change(judged.left_to_scale_kg, units), ""))
    return rows


def called(suspect: Suspect) -> str:
    """A suspect as a row names it: with its zone, where it has one."""
    if suspect.kind == UNLISTED:
        return f"On no list, in {suspect.zone}"
    if not suspect.zone or suspect.zone in suspect.name:
        return suspect.name
    return f"{suspect.name} ({suspect.zone})"


def suspect_words(judged: WeighIn, units: Units) -> str:
    """Where the missing weight most likely sits, and what the ticket cannot tell."""
    shown = ranked(judged)[:3]
    if not shown:
        return "Nothing is left to explain."
    where = "; ".join(f"{_lower(called(s))} {change(s.shift_kg, units)}" for s in shown)
    agreed = "The difference is within the margin of error, so nothing needs correcting. If anything, it sits in"
    said = [f"{agreed if judged.agrees else 'The difference most likely sits in'}: {where}."]
    split = sum(s.shift_kg for s in judged.suspects if s.kind == AXLE_SPLIT)
    if abs(split) >= 2.0 and any("axle" in reading.key for reading in judged.readings):
        end = "rear" if split > 0 else "front"
        said.append(
            f"And {whole(abs(split), units)} more of what is listed stands on the {end} axle than the lists say."
        )
    if {reading.key for reading in judged.readings} == {"total"}:
        said.append("A total cannot tell zones apart: weigh by axle, or by wheel.")
    return " ".join((*said, ROUGH))


def ticket_words(ticket: Ticket, units: Units) -> str:
    """How the scale's margin of error was put together."""
    scale = ticket.scale
    division = units.mass(scale.resolution_kg)
    tolerance = (
        "its error as NIST Handbook 44 lets a vehicle scale in use be wrong (class III L, from memory)"
    )
    used = (
        "one scale for all readings, so its error is in all of them alike"
        if scale.one_scale
        else "a pad of its own for each reading, so their errors are independent"
    )
    people = "people aboard" if ticket.people_aboard else "nobody aboard"
    rounding = f"half a scale division ({division}, the smallest step it shows) for rounding"
    return f"The scale's margin of error: {rounding}; {tolerance}; {used}. Weighed with {people}."


def doubt_words(doubts: Doubts, vehicle: Vehicle, units: Units) -> str:
    """The margin of error that each thing on the lists is taken to have; all of it common practice."""
    by_item = ", ".join(f"{known} {share:.0%}" for known, share in SHARE_BY_HOW_KNOWN.items())
    own_kg = vehicle.curb_plus_minus_kg
    said = (
        f"curb mass {whole(own_kg, units)}, as entered" if own_kg else f"curb mass {doubts.curb_share:.1%}",
        f"gear on no list {whole(doubts.unlisted_kg, units)} in each zone",
        f"gear by its own ±, else {by_item}",
        f"people {whole(doubts.person_kg, units)}",
        f"animals {doubts.animal_share:.0%}",
        f"cans, roof rack or platform {doubts.liquid_share:.0%}",
        f"fuel gauge {doubts.fuel_share:.0%} of the tank",
        f"where a zone's load acts {units.length(doubts.place_m)}",
    )
    return f"Margin of error of what is on the lists, each ± (common practice, no source): {'; '.join(said)}."


def slip_words(judged: WeighIn, units: Units) -> str:
    """Sums on the ticket that don't come out: they come before anything that rests on them."""
    return "\n".join(gap_words(gap, units) for gap in judged.gaps)


def lists_words(judged: WeighIn, units: Units) -> str:
    """The ticket beside the lists: each reading, and where the difference may sit."""
    said = [compared_words(reading, units) for reading in judged.readings]
    return "\n".join((*said, suspect_words(judged, units)))


def correction_words(suspect: Suspect, units: Units) -> str:
    """A correction as the chooser offers it."""
    name = "Curb mass" if suspect.kind == CURB else suspect.name
    return f"{name}, {change(suspect.shift_kg, units)}"


def _lower(name: str) -> str:
    return name[0].lower() + name[1:]
