"""The load-up sheet: one page of HTML to print or keep as PDF. Every word that a person typed is escaped.

The page measures itself in the browser and takes the largest type that fits one sheet, A4 or Letter, down to what
can still be read; beyond that it says so and runs on. Without scripts it prints at its usual size.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from loadcalc.checks import Report
from loadcalc.checks.gas import hazards
from loadcalc.checks.lifting.hoist import Handling, lifts
from loadcalc.checks.restraint.verdict import Tied, Verdict, untied
from loadcalc.model import Loadout, Tire, Vehicle
from loadcalc.model.quantities import Units
from workbook.figures.palette import FONT, MARKS, ROLES
from workbook.figures.sheet_outline import sheet_outline
from workbook.paper.loading import Piece, Step, at_hand, steps
from workbook.paper.page import OVER, SCRIPT, STYLE
from workbook.words import gas as gas_words
from workbook.words import lifting as lifting_words
from workbook.words import ratings as words
from workbook.words import restraint as restraint_words
from workbook.words.forces import force

TIGHTEST = 6
Judged = Sequence[tuple[Tied, Sequence[Verdict]]]


def sheet_html(report: Report, groups: Judged, units: Units, bars: str = "", made: str = "") -> str:
    """The whole page.

    groups : tied groups with their verdicts; bars : what the bars carry, in words; made : when it was made.
    """
    loadout = report.shares.loadout
    order = f"Load in this order, top to bottom (boxed: the zone in the drawing; gray: {units.mass_unit})"
    vehicle = report.shares.vehicle
    parts = [
        _head(report, units, made),
        f"<div class='picture'>{sheet_outline(report, units)}</div>",
        _section(order, _order(loadout, units)),
        f"<div class='pair'>{_section('Straps', _straps(groups, loadout, units))}<div>",
        _section("Tightest ratings", _list(rating_lines(report, units))),
        _section("Tires, cold", _list(tire_lines(vehicle, loadout, units))),
        "</div></div>",
        _section("Look out", _list(cautions(report, units, bars))),
    ]
    style = STYLE.replace("FONT", FONT).replace("ALARM", ROLES["alarm"]).replace("QUIET", ROLES["quiet"])
    title = f"{escape(loadout.name)}: load-up sheet"
    return (
        f"<!doctype html><html lang='en'><head><meta charset='utf-8'><title>{title}</title><style>{style}</style>"
        "</head><body><p class='screen'><button onclick='print()'>Print, or keep as PDF</button> "
        "One sheet of A4 or Letter.</p>"
        f"<p id='over' hidden>{escape(OVER)}</p><main id='sheet'>{''.join(parts)}</main><script>{SCRIPT}</script>"
        "</body></html>"
    )


def _section(title: str, body: str) -> str:
    return f"<section><h2>{escape(title)}</h2>{body}</section>"


def _list(lines: Iterable[str]) -> str:
    return f"<ul>{''.join(f'<li>{escape(line)}</li>' for line in lines)}</ul>"


def _head(report: Report, units: Units, made: str) -> str:
    over = " class='alarm'" if report.over else ""
    mark = f"{MARKS['over']} " if report.over else ""
    when = f" · {escape(made)}" if made else ""
    return (
        f"<header><h1>{escape(report.shares.loadout.name)}</h1>"
        f"<p>{escape(report.shares.vehicle.name)} · {escape(words.on_board(report, units))}{when}</p>"
        f"<p>{escape(words.center(report, units))}</p>"
        f"<p{over}>{mark}{escape(words.verdict(report, units))}</p></header>"
    )


def _order(loadout: Loadout, units: Units) -> str:
    rows = "".join(_step(step, units) for step in steps(loadout))
    last = at_hand(loadout)
    if last:
        said = "; ".join(f"{piece.name} ({piece.zone})" for piece in last)
        rows += f"<li><b>Last, to be at hand:</b> {escape(said)}</li>"
    return f"<ol class='order'>{rows}</ol>" if rows else "<p>Nothing is on board yet.</p>"


def _step(step: Step, units: Units) -> str:
    content = ", ".join(_named(piece, units) for piece in step.pieces)
    return (
        f"<li><span class='number'>{step.number}</span> <b>{escape(step.zone)}</b> {escape(units.mass(step.mass_kg))}: "
        f"{content}</li>"
    )


def _named(piece: Piece, units: Units) -> str:
    return f"{escape(piece.name)} <i>{escape(units.mass_number(piece.mass_kg))}</i>"


def strap_lines(groups: Judged, units: Units) -> list[str]:
    """One line a tied group: its straps, how tight, and what the benches say of it."""
    found = []
    for tied, verdicts in groups:
        s = tied.strapping
        tight = "" if s.tension_n is None or s.way == "direct" else f", {force(s.tension_n, units)} each"
        count = f"{s.straps} strap{'' if s.straps == 1 else 's'} {s.way}, {s.angle_deg:g}°{tight}"
        found.append(
            f"{s.name} ({units.mass(tied.mass_kg)}): {count}; {restraint_words.verdict_words(verdicts)}"
        )
    return found


def some(names: Sequence[str], most: int = 14) -> str:
    """The first names, and how many more there are: a sheet has one page."""
    more = f", and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def _straps(groups: Judged, loadout: Loadout, units: Units) -> str:
    lines = strap_lines(groups, units) or ["No tied group is entered."]
    missing = untied(loadout)
    if missing:
        lines.append(f"{MARKS['not known']} outside and in no group: {some(missing)}")
    return _list([*lines, "Check edges, hooks, and tightness again after the first miles."])


def rating_lines(report: Report, units: Units) -> list[str]:
    """Every rating that is over, then the tightest of the rest, then how many are not known."""
    known = [r for r in report.ratings if r.known and (r.over or r.unit == "kg")]
    shown = known[: max(len(report.over), TIGHTEST)]
    lines = [
        f"{MARKS['over'] + ' ' if r.over else ''}{r.name}: {words.percent(r)}, {words.room(r, units)}"
        for r in shown
    ]
    missing = len([r for r in report.not_known if not words.idle(r)])
    return [*lines, f"{MARKS['not known']} limit not known, not judged: {missing}"] if missing else lines


def tire_lines(vehicle: Vehicle, loadout: Loadout, units: Units) -> list[str]:
    """Placard and trail pressure of each axle; what nobody entered is not known."""
    axles: list[tuple[str, Tire, float | None]] = [
        ("Front", vehicle.front_tire, loadout.front_kpa),
        ("Rear", vehicle.rear_tire, loadout.rear_kpa),
    ]
    lines = []
    for name, tire, trail_kpa in axles:
        road = (
            f"{MARKS['not known']} placard not known"
            if tire.placard_kpa is None
            else f"{units.pressure(tire.placard_kpa)} by the placard"
        )
        trail = "" if trail_kpa is None else f"; trail {units.pressure(trail_kpa)}, back up before the road"
        lines.append(f"{name}: {road}{trail}")
    return lines


def cautions(report: Report, units: Units, bars: str = "") -> list[str]:
    """What must not be overlooked on this departure, then the usual cautions."""
    loadout = report.shares.loadout
    found = hazards(loadout)
    hard = lifting_words.in_short(lifts(loadout, Handling(form=units.name)))
    lines = gas_words.cautions(found).splitlines()
    if found:
        lines.append(f"Upright, vented, outside, away from flame: {', '.join(h.name for h in found)}.")
    if hard:
        lines.append(
            f"By the lifting equation no lift for one person, so share it or lower it: {some(hard, 24)}."
        )
    if bars and MARKS["over"] in bars:
        lines.append(bars)
    return [line for line in (*lines, words.CAUTION) if line]


__all__ = ["cautions", "rating_lines", "sheet_html", "strap_lines", "tire_lines"]
