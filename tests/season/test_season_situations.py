"""Trying each different situation once refuses exactly what building every loadout refuses."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.ratings.masses import masses
from loadcalc.model import BadValue, LoadcalcError, Place
from loadcalc.season.edit import records
from loadcalc.season.edit.situations import _made_up, check_loadouts
from loadcalc.season.file import ledger
from loadcalc.season.file.present import Present
from tests.season_help import FRIDAY, demo_season
from tests.strategies import tried

Edit = tuple[str, str, str, Any]


@cache
def rows() -> tuple[list[tuple[str, str, int]], list[tuple[str, str, str, str, int]]]:
    """A season with five loadouts that differ: one with the carrier off, one with other seats and places."""
    with TemporaryDirectory() as folder, demo_season(Path(folder)) as season:
        for name in ("Saturday", "Sunday", "Monday"):
            season.add_loadout(name, like=FRIDAY)
        for stowed in season.loadout("Saturday").gear:
            if season.loadout("Saturday").zone(stowed.zone).on_carrier:
                season.stow("Saturday", stowed.item.key, "Cargo deck rear")
        for filled in season.loadout("Saturday").liquids:
            if season.loadout("Saturday").zone(filled.zone).on_carrier:
                season.set_fill("Saturday", filled.liquid.key, filled.fill_l, "Cargo deck rear")
        season.set_loadout("Saturday", carrier_on=False)
        season.ride("Sunday", "dov", None)
        season.stow("Sunday", "loppers", "Drawer right", 1)
        season.set_fuel("Monday", 75.0)
        season.set_trailer(name="Trailer", mass_kg=600.0, tongue_kg=60.0)
        season.set_vehicle("hitch", Place(aft_m=4.0, up_m=0.5))
        season.set_loadout("Monday", trailer_on=True)
        born = season.db.execute("SELECT subject, key, born FROM thing").fetchall()
        kept = season.db.execute("SELECT subject, key, field, value, entry_id FROM present").fetchall()
    return born, kept


def fresh() -> Present:
    """That season's present."""
    present = Present()
    present.fill(*rows())
    return present


EDITS = {
    ("zone", "on_carrier"): st.booleans(), ("zone", "name"): st.sampled_from(["Driver", "Attic"]),
    ("item", "count"): st.integers(0, 3), ("item", "mass_kg"): st.sampled_from([0.0, 1.0]),
    ("item", "state"): st.sampled_from(["lost", "lent", ""]), ("seat", "name"): st.sampled_from(["Driver", "Bench"]),
    ("occupant", "kind"): st.sampled_from(["person", "animal"]), ("occupant", "mass_kg"): st.just(80.0),
    ("liquid", "capacity_l"): st.sampled_from([1.0, 20.0, 60.0]), ("liquid", "container_kg"): st.just(0.0),
    ("vehicle", "tank_capacity_l"): st.sampled_from([60.0, 79.0, 81.0, 100.0]), ("carrier", "mass_kg"): st.just(30.0),
    ("vehicle", "curb_up_m"): st.sampled_from([0.0, 0.7]), ("vehicle", "curb_fuel_l"): st.sampled_from([0.0, 60.0]),
    ("trailer", "tongue_kg"): st.sampled_from([0.0, 60.0]),
}  # fmt: skip
GONE = st.sampled_from(["zone", "seat", "carrier", "trailer", "occupant", "item", "liquid"])


@st.composite
def touches(draw: st.DrawFn) -> list[Edit]:
    """A few fields set, or a whole thing taken away, of whatever the season has."""
    present = fresh()
    found: list[Edit] = []
    for _ in range(draw(st.integers(1, 3))):
        if draw(st.integers(0, 3)):
            subject, field = draw(st.sampled_from(list(EDITS)))
            key = draw(st.sampled_from([key for key, _ in present.rows(subject)]))
            found.append((subject, key, field, draw(EDITS[subject, field])))
            if field == "curb_up_m" and draw(st.booleans()):
                found += [(subject, key, f"hitch_{axis}_m", None) for axis in ("aft", "left", "up")]
            if field == "on_carrier":
                found.append((subject, key, "in_cabin", False))
        else:
            subject = draw(GONE)
            key = draw(st.sampled_from([key for key, _ in present.rows(subject)] or ["none"]))
            found += [(subject, key, field, None) for field in present.get(subject, key) or ()]
    return found


def refusal(check: Any) -> str:
    """What a check says, "" when it has nothing against it."""
    try:
        check()
    except LoadcalcError as error:
        return str(error)
    return ""


def every_loadout(present: Present) -> None:
    """The long way: each loadout on the vehicle."""
    vehicle = records.vehicle(present)
    for key, _ in present.rows("loadout"):
        loadout = records.loadout(present, key)
        try:
            masses(vehicle, loadout)
        except BadValue as error:
            raise error.at(f"{loadout.name}, {error.where}" if error.where else loadout.name) from error


@tried(60)
@given(edits=touches())
def test_the_short_way_refuses_what_the_long_way_does(edits: list[Edit]) -> None:
    """Whatever an edit touches: both ways refuse it, in the same words, or neither does."""
    present = fresh()
    for subject, key, field, value in edits:
        present.put(subject, key, field, value)
    touched = {(subject, key): None for subject, key, _, _ in edits}
    assert refusal(lambda: check_loadouts(present, touched)) == refusal(lambda: every_loadout(present))


def test_the_season_above_is_true_and_can_be_made_untrue() -> None:
    """The comparison above has both sorts of case."""
    present = fresh()
    assert len(present.rows("loadout")) == 5
    every_loadout(present)
    present.put("zone", "cargo-deck-rear", "in_cabin", False)
    present.put("zone", "cargo-deck-rear", "on_carrier", True)
    with pytest.raises(LoadcalcError, match="roof rack, which is off"):
        check_loadouts(present, [("zone", "cargo-deck-rear")])


def test_like_loadouts_are_tried_once(tmp_path: Path) -> None:
    """A hundred loadouts like one another make no more work for an edit than one."""
    with demo_season(tmp_path, durable=False) as season:
        before = sum(1 for _ in _made_up(season.present, [("zone", "drawer-left"), ("item", "chainsaw")]))
        with season.entry("A long year"):
            for number in range(100):
                season.add_loadout(f"Trip {number}", like=FRIDAY)
        after = sum(1 for _ in _made_up(season.present, [("zone", "drawer-left"), ("item", "chainsaw")]))
        assert after == before > 0
        assert season.loadout_names == tuple(loadout.name for loadout in season.loadouts)


def test_what_a_refused_edit_leaves_is_what_the_file_has(tmp_path: Path) -> None:
    """After a refusal nothing is read anew, and memory is what a fresh reading gives, order and all."""
    with demo_season(tmp_path, durable=False) as season:
        for name in ("Aardvark", "Zebra"):
            with pytest.raises(LoadcalcError):
                _add_and_fail(season, name)
        season.add_item(name="Zebra", mass_kg=1.0)
        season.add_item(name="Aardvark", mass_kg=1.0)
        there = ledger.load(season.db)
        assert season.present == there
        for subject in there.things:
            assert season.present.rows(subject) == there.rows(subject)
        assert season.present.aboard("stowed", "friday-departure") == there.aboard(
            "stowed", "friday-departure"
        )


def _add_and_fail(season: Any, name: str) -> None:
    with season.entry("Both or none"):
        season.add_item(name=name, mass_kg=1.0)
        season.stow(FRIDAY, name, "Drawer left")
        season.remove("item", "loppers")
        season.set_item("chainsaw", mass_kg=-1.0)
