"""A group of things as it is tied down, and the form of a verdict on it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from loadcalc.checks.restraint.strapping import GRAVITY, weakest_kg
from loadcalc.model.loadout import Filled, Loadout, Stowed
from loadcalc.model.straps import Strapping

COVERS, SHORT, NOT_KNOWN, NOT_ASKED = "enough for planning", "falls short", "not known", "not asked"
COUNT, TOGETHER, WIND = "number of tie-downs", "limits together", "wind"
PUBLISHED, FROM_MEMORY = "published", "from memory"
ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Tied:
    """A group of things and how it is tied down.

    mass_kg : of all of it [kg]; names : what belongs to it. length_m : of its longest piece along the vehicle [m];
    area_m2 : seen from above, like pieces stacked, unlike ones side by side [m2]; None when a size is not known.
    """

    strapping: Strapping
    names: tuple[str, ...]
    mass_kg: float
    length_m: float | None
    area_m2: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """One rule set in one direction: needed against given.

    rule_set : "49 CFR 393", "EN 12195-1", or "wind". what : a direction, "number of tie-downs", or "limits together".
    state : "enough for planning", "falls short", "not known", "not asked".
    needed, given : in `unit`, None when not known. lacks : what would have to be known.
    status : how well the weakest value it rests on is known.
    """

    rule_set: str
    what: str
    state: str
    unit: str = ""
    needed: float | None = None
    given: float | None = None
    lacks: tuple[str, ...] = ()
    status: str = PUBLISHED


def tied_groups(loadout: Loadout) -> tuple[Tied, ...]:
    """Each group of the loadout that something belongs to, in the order in which the straps were entered.

    Parameters
    ----------
    loadout : what rides where, with the group of each piece and how each group is tied down.
    """
    found = []
    for strapping in loadout.straps:
        mine: list[Stowed | Filled] = [s for s in loadout.gear if s.group == strapping.key and s.count]
        mine += [filled for filled in loadout.liquids if filled.group == strapping.key]
        if mine:
            found.append(_tied(strapping, mine))
    return tuple(found)


def untied(loadout: Loadout) -> tuple[str, ...]:
    """What rides outside the cabin without belonging to a group with straps: gear and cans.

    Parameters
    ----------
    loadout : what rides where; a zone of which nobody has said whether it is in the cabin counts as outside.
    """
    held = {strapping.key for strapping in loadout.straps if strapping.straps}
    outside = {zone.name for zone in loadout.zones if not zone.in_cabin}
    gear = [s.item.name for s in loadout.gear if s.zone in outside and s.count and s.group not in held]
    cans = [f.liquid.name for f in loadout.liquids if f.zone in outside and f.group not in held]
    return (*gear, *cans)


def _tied(strapping: Strapping, mine: list[Stowed | Filled]) -> Tied:
    pieces = [(s.turned, s.item.size) for s in mine if isinstance(s, Stowed) and s.item.size is not None]
    length_m = area_m2 = None
    if len(pieces) == len(mine):  # nobody enters the size of a can: a group with one has no known size
        length_m = max(size.width_m if turned else size.length_m for turned, size in pieces)
        area_m2 = sum(size.length_m * size.width_m for _, size in pieces)
    return Tied(
        strapping=strapping,
        names=tuple(piece_name(piece) for piece in mine),
        mass_kg=sum(piece.mass_kg for piece in mine),
        length_m=length_m,
        area_m2=area_m2,
    )


def piece_name(piece: Stowed | Filled) -> str:
    """What a piece on board is called, with how many there are of it.

    Parameters
    ----------
    piece : gear or a can.
    """
    if isinstance(piece, Filled):
        return piece.liquid.name
    return piece.item.name if piece.count == 1 else f"{piece.item.name} × {piece.count}"


def strap_limit_kg(strapping: Strapping) -> float | None:
    """What counts for one tie-down: the weaker of strap and tie point that are known [kg].

    Parameters
    ----------
    strapping : how the group is tied down.
    """
    return weakest_kg(strapping.wll_kg, strapping.anchor_wll_kg)


def counted_tension_n(strapping: Strapping) -> float | None:
    """Tension that counts: as entered, but never more than the tie-down's own limit [N].

    Parameters
    ----------
    strapping : how the group is tied down.
    """
    limit_kg = strap_limit_kg(strapping)
    if strapping.tension_n is None or limit_kg is None:
        return strapping.tension_n
    return min(strapping.tension_n, limit_kg * GRAVITY)


def limits_lacking(strapping: Strapping) -> tuple[str, ...]:
    """Which limits of a tie-down nobody has entered, in words."""
    lacking = (("the strap's limit", strapping.wll_kg), ("the tie point's limit", strapping.anchor_wll_kg))
    return tuple(name for name, limit in lacking if limit is None)


def friction_lacking(strapping: Strapping) -> tuple[str, ...]:
    """What is not known of the friction: everything, unless somebody said what lies on what.

    Parameters
    ----------
    strapping : how the group is tied down.
    """
    return () if strapping.surfaces else ("what lies on what",)


def settle(verdict: Verdict) -> Verdict:
    """Put the state in: short is short, but what lacks something is never covered."""
    needed, given = verdict.needed, verdict.given
    if needed is None or given is None:
        return replace(verdict, state=NOT_KNOWN)
    if given < needed * (1 - ROUNDING) - ROUNDING:
        return replace(verdict, state=SHORT)
    return replace(verdict, state=NOT_KNOWN if verdict.lacks else COVERS)
