"""The load-up sheet: one page of HTML to print or keep as PDF. Every word that a person typed is escaped.

The page measures itself in the browser and takes the largest type that fits one sheet, A4 or Letter, down to what
can still be read; beyond that it says so and runs on. Without scripts it prints at its usual size.
"""

from __future__ import annotations

from collections.abc import Iterable

from loadcalc.checks import Judgment, Report
from loadcalc.checks.gas import hazards
from loadcalc.checks.restraint.tied import tied_groups
from loadcalc.checks.restraint.verdict import ROAD_SPEED_M_PER_S, judge
from loadcalc.model import Loadout, Vehicle
from loadcalc.model.quantities import Units
from workbook.panels.desk import ratings_words as words
from workbook.panels.desk.findings_words import finding_lines, headline, is_bad
from workbook.panels.desk.html_text import escape
from workbook.panels.desk.palette import FONT, MARKS, ROLES
from workbook.panels.roof.lifting_words import FOOTING
from workbook.panels.sheet.loading import LoadingStep, Piece, at_hand, steps
from workbook.panels.sheet.page import OVER, SCRIPT, STYLE
from workbook.panels.sheet.sheet_figure import sheet_outline
from workbook.panels.stability.tires_words import road_kpa, tire_of, trail_kpa
from workbook.panels.tie_down import tie_down_words as restraint_words
from workbook.panels.tie_down.forces_words import force

TIGHTEST = 6


def sheet_html(report: Judgment, units: Units, made: str = "") -> str:
    """The whole page. made : when it was made."""
    loadout = report.shares.loadout
    order = f"Load in this order, top to bottom (boxed: the zone in the drawing; gray: {units.mass_unit})"
    vehicle = report.shares.vehicle
    parts = [
        _head(report, units, made),
        f"<div class='picture'>{sheet_outline(report, units)}</div>",
        _section(
            "Look at these first", _list(finding_lines(report.findings, units) or ["Nothing was found."])
        ),
        _section(order, _order(loadout, units)),
        f"<div class='pair'><div>{_section('Straps', _straps(loadout, units))}",
        f"{_section('Tires, cold', _list(tire_lines(vehicle, loadout, units)))}</div>",
        f"{_section('Tightest ratings', _list(rating_lines(report, units)))}</div>",
        _section("Always", _list(cautions(report))),
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


def _head(report: Judgment, units: Units, made: str) -> str:
    over = " class='alarm'" if is_bad(report) else ""
    mark = f"{MARKS['over']} " if is_bad(report) else ""
    when = f" · {escape(made)}" if made else ""
    return (
        f"<header><h1>{escape(report.shares.loadout.name)}</h1>"
        f"<p>{escape(report.shares.vehicle.name)} · {escape(words.on_board(report, units))}{when}</p>"
        f"<p>{escape(words.center(report, units))}</p>"
        f"<p{over}>{mark}{escape(headline(report, units))}</p></header>"
    )


def _order(loadout: Loadout, units: Units) -> str:
    rows = "".join(_step(step, units) for step in steps(loadout))
    last = at_hand(loadout)
    if last:
        said = "; ".join(f"{piece.name} ({piece.zone})" for piece in last)
        rows += f"<li><b>Last, to be at hand:</b> {escape(said)}</li>"
    return f"<ol class='order'>{rows}</ol>" if rows else "<p>Nothing is on board yet.</p>"


def _step(step: LoadingStep, units: Units) -> str:
    content = ", ".join(_named(piece, units) for piece in step.pieces)
    mass, zone = escape(units.mass(step.mass_kg)), escape(step.zone)
    return f"<li><span class='number'>{step.number}</span> <b>{zone}</b> {mass}: {content}</li>"


def _named(piece: Piece, units: Units) -> str:
    return f"{escape(piece.name)} <i>{escape(units.mass_number(piece.mass_kg))}</i>"


def strap_lines(loadout: Loadout, units: Units) -> list[str]:
    """One line a tied group: its straps, how tight, and what the rule sets say of it."""
    found = []
    for tied in tied_groups(loadout):
        s = tied.strapping
        tight = "" if s.tension_n is None or s.way == "direct" else f", {force(s.tension_n, units)} each"
        count = f"{s.straps} strap{'' if s.straps == 1 else 's'} {s.way}, {s.angle_deg:g}°{tight}"
        said = restraint_words.verdict_words(judge(tied, speed_m_per_s=ROAD_SPEED_M_PER_S))
        found.append(f"{s.name} ({units.mass(tied.mass_kg)}): {count}; {said}")
    return found


def _straps(loadout: Loadout, units: Units) -> str:
    lines = strap_lines(loadout, units) or ["No tied group is entered."]
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
    """The pressure of each axle on the road and on the trail; what nobody entered is not known."""
    lines = []
    for axle in ("front", "rear"):
        placard_kpa, road = tire_of(vehicle, axle).placard_kpa, road_kpa(vehicle, loadout, axle)
        said = f"{MARKS['not known']} placard not known" if road is None else units.pressure(road)
        if road is not None and road == placard_kpa:
            said += " by the placard"
        trail = trail_kpa(loadout, axle)
        more = "" if trail is None else f"; trail {units.pressure(trail)}, back up before the road"
        lines.append(f"{axle.capitalize()}: {said}{more}")
    return lines


def cautions(report: Report) -> list[str]:
    """How fuel and gas of this departure ride, how the roof is loaded, then the usual cautions."""
    loadout = report.shares.loadout
    found, roof = hazards(loadout), any(mass.on_carrier for mass in report.shares.masses)
    names = ", ".join(hazard.name for hazard in found)
    return [f"Upright, vented, outside, away from flame: {names}."] * bool(found) + [FOOTING] * roof + [words.CAUTION]
