"""The load-up sheet: a page of HTML to print or keep as PDF. Every word that a person typed is escaped."""

from __future__ import annotations

from collections.abc import Iterable

from loadcalc.checks import Judgment
from loadcalc.model import Loadout
from loadcalc.model.quantities import Units
from workbook.panels.desk import ratings_words as words
from workbook.panels.desk.findings_words import finding_lines, headline, is_bad
from workbook.panels.desk.html_text import escape
from workbook.panels.desk.palette import MARKS
from workbook.panels.sheet import sheet_words as said
from workbook.panels.sheet.loading import LoadingStep, at_hand, steps
from workbook.panels.sheet.page import style
from workbook.panels.sheet.sheet_figure import sheet_outline

ORDER = "Load in this order, left column first"
AFTER = "Edges, hooks, and tightness checked again after the first miles."


def sheet_html(report: Judgment, units: Units, made: str = "") -> str:
    """The whole page. made : when it was made."""
    vehicle, loadout = report.shares.vehicle, report.shares.loadout
    findings = finding_lines(report.findings, units, names=None) or ["Nothing was found."]
    straps = said.strap_lines(loadout, units)
    parts = [
        _head(report, units, made),
        _section("Look at these first", _list(findings)),
        f"<div class='pair'><div>{_section('Who sits where', _ticks(said.seat_lines(vehicle, loadout)))}</div>",
        f"<div>{_section('Fill', _ticks(said.fill_lines(vehicle, loadout, units)))}",
        f"{_section('Tires, cold', _ticks(said.tire_lines(vehicle, loadout, units)))}</div></div>",
        _section(ORDER, f"<div class='picture'>{sheet_outline(report, units)}</div>{_order(loadout, units)}"),
        _section(
            "Straps", f"{'' if straps else '<p>No tied group is entered.</p>'}{_ticks([*straps, AFTER])}"
        ),
        _section("Tightest ratings", _list(said.rating_lines(report, units))),
        _section("Always", _list(said.cautions(report))),
    ]
    title = f"{escape(loadout.name)}: load-up sheet"
    return (
        f"<!doctype html><html lang='en'><head><meta charset='utf-8'><title>{title}</title>"
        f"<style>{style(loadout.name)}</style></head><body><p class='screen'>"
        "<button onclick='print()'>Print, or keep as PDF</button> On A4 or Letter, both sides if you like.</p>"
        f"<main id='sheet'>{''.join(parts)}</main></body></html>"
    )


def _section(title: str, body: str) -> str:
    return f"<section><h2>{escape(title)}</h2>{body}</section>"


def _list(lines: Iterable[str]) -> str:
    return f"<ul>{''.join(f'<li>{escape(line)}</li>' for line in lines)}</ul>"


def _ticks(lines: Iterable[str]) -> str:
    return f"<ul>{''.join(map(_tick, lines))}</ul>"


def _tick(line: str, mass: str = "") -> str:
    """A line with a box to tick before it, and a mass at its end."""
    return f"<li class='tick'><span>{escape(line)} </span><i>{escape(mass)}</i></li>"


def _head(report: Judgment, units: Units, made: str) -> str:
    bad, mark = (" class='bad'", f"{MARKS['over']} ") if is_bad(report) else ("", "")
    when = f" · {escape(made)}" if made else ""
    return (
        f"<header><h1>{escape(report.shares.loadout.name)}</h1>"
        f"<p>{escape(report.shares.vehicle.name)}{when}</p><p>{escape(words.center(report, units))}</p>"
        f"<p{bad}>{mark}{escape(headline(report, units))}</p></header>"
    )


def _order(loadout: Loadout, units: Units) -> str:
    rows = "".join(_step(step, units) for step in steps(loadout))
    last = "".join(
        _tick(f"{piece.name}, {piece.zone}", units.mass(piece.mass_kg)) for piece in at_hand(loadout)
    )
    if last:
        rows += f"<li><p class='zone'><b>Last, to be at hand</b></p><ul>{last}</ul></li>"
    return f"<ol class='order'>{rows}</ol>" if rows else "<p>Nothing is on board yet.</p>"


def _step(step: LoadingStep, units: Units) -> str:
    things = "".join(_tick(piece.name, units.mass(piece.mass_kg)) for piece in step.pieces)
    head = f"<span class='number'>{step.number}</span> <b>{escape(step.zone)}</b>, {escape(units.mass(step.mass_kg))}"
    return f"<li><p class='zone'>{head}</p><ul>{things}</ul></li>"
