"""How the groups of a loadout are tied down, as the season keeps it, and which piece belongs to which group."""

from __future__ import annotations

import re
from typing import Any

from loadcalc.model.errors import BadValue, NotFound
from loadcalc.season.edit import records
from loadcalc.season.edit.store import Season


def strap(season: Season, loadout: str, group: str, **fields: Any) -> str:
    """Set fields of a tied group, made when it isn't there; return its key.

    Parameters
    ----------
    season : an open season; loadout : its name or key; group : the group's key or name; fields : see Strapping.

    Raises
    ------
    BadValue when another group of the loadout has that name, or a value can't be.
    """
    place = season.find("loadout", loadout)
    known = {s.key: s.name for s in season.loadout(loadout).straps}
    key = _find(known, group)
    name = str(fields.get("name", "" if key else group)).strip()
    if name and any(other.casefold() == name.casefold() for k, other in known.items() if k != key):
        raise BadValue("tied group", name, "is already there", "give it another name")
    with season.entry(f"{name or known.get(key or '', group)}: straps"):
        key = key or _new_key(known, name)
        changed = {**({"name": name} if name else {}), **fields}
        now = {**(season.present.get("strapping", f"{place}/{key}") or {}), **changed}
        records.strapping(key, {field: value for field, value in now.items() if value is not None})
        season.put("strapping", f"{place}/{key}", changed)
    return key


def unstrap(season: Season, loadout: str, group: str) -> None:
    """Take a tied group away; its pieces stay on board and belong to no group.

    Parameters
    ----------
    season : an open season; loadout : its name or key; group : the group's key or name.
    """
    place = season.find("loadout", loadout)
    known = {s.key: s.name for s in season.loadout(loadout).straps}
    key = _find(known, group)
    if key is None:
        raise NotFound("tied group", group, tuple(known.values()))
    with season.entry(f"{known[key]}: straps taken away"):
        for aboard in ("stowed", "filled"):
            for thing, kept in season.present.aboard(aboard, place):
                if kept.get("group") == key:
                    season.put(aboard, f"{place}/{thing}", {"group": None})
        season.drop("strapping", f"{place}/{key}")


def tie(season: Season, loadout: str, item: str, group: str | None) -> None:
    """Let a piece on board belong to a tied group; None or "": to none.

    Parameters
    ----------
    season : an open season; loadout : its name or key; item : the piece; group : the group's key or name.
    """
    season.set_stowed(loadout, item, group=_key(season, loadout, group))


def tie_can(season: Season, loadout: str, liquid: str, group: str | None) -> None:
    """Let a can on board belong to a tied group; None or "": to none.

    Parameters
    ----------
    season : an open season; loadout : its name or key; liquid : the can; group : the group's key or name.
    """
    key = _key(season, loadout, group)
    place = f"{season.find('loadout', loadout)}/{season.find('liquid', liquid)}"
    if season.present.get("filled", place) is None:
        raise NotFound("can on board", liquid)
    with season.entry(f"{loadout}: {season.present.name('liquid', place.partition('/')[2])}, group"):
        season.put("filled", place, {"group": key})


def _key(season: Season, loadout: str, group: str | None) -> str | None:
    if not group:
        return None
    known = {s.key: s.name for s in season.loadout(loadout).straps}
    key = _find(known, group)
    if key is None:
        raise NotFound("tied group", group, tuple(known.values()))
    return key


def _find(known: dict[str, str], group: str) -> str | None:
    if group in known:
        return group
    wanted = group.strip().casefold()
    return next((key for key, name in known.items() if name.casefold() == wanted), None)


def _new_key(known: dict[str, str], name: str) -> str:
    """A readable key that no group of this loadout has."""
    stem = re.sub(r"\W+", "-", name.casefold()).strip("-") or "group"
    key, number = stem, 1
    while key in known:
        number += 1
        key = f"{stem}-{number}"
    return key
