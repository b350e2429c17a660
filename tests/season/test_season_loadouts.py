"""Loadouts in a season: what rides where stays true whatever is renamed, moved, or taken away."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from loadcalc.model import BadValue, NotFound, Place
from loadcalc.season import Change, Season
from tests.season_help import FRIDAY, demo_season, records


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """An open copy of the demo season."""
    with demo_season(tmp_path) as opened:
        yield opened


def zone_of(season: Season, item: str) -> str:
    """The zone that an item rides in on Friday."""
    return next(s.zone for s in season.loadout(FRIDAY).gear if s.item.key == item)


def test_renaming_a_zone_keeps_loadouts_true(season: Season) -> None:
    """Everything in a renamed zone is in the zone of the new name, and a seat's rename keeps its rider."""
    season.set_zone("Drawer left", name="Saw drawer")
    season.set("seat", "Driver", name="Wheel")

    assert zone_of(season, "chainsaw") == "Saw drawer"
    assert [p.seat for p in season.loadout(FRIDAY).people if p.key == "ines"] == ["Wheel"]
    assert "Drawer left" not in {zone.name for zone in season.zones}


def test_removing_an_item_takes_it_off_every_loadout(season: Season) -> None:
    """One entry takes an item out of the gear and off the loadouts, and one undo brings both back."""
    before, version = records(season), season.version
    season.remove("item", "loppers")

    assert season.version == version + 1
    assert all(s.item.key != "loppers" for loadout in season.loadouts for s in loadout.gear)
    season.undo()
    assert records(season) == before


def test_what_is_in_use_is_not_removed(season: Season) -> None:
    """A zone that carries something stays, and the error names what is in it."""
    with pytest.raises(BadValue, match=r"is in use by .*move it"):
        season.remove("zone", "Drawer left")


def test_raw_changes_are_held_to_the_same_rules(season: Season) -> None:
    """A list of changes can't leave a thing aboard nothing, or a seat's usual rider without one."""
    version = season.version
    off = [
        Change("loadout", "scouting-day", field, None) for field in season.fields("loadout", "Scouting day")
    ]
    with pytest.raises(BadValue, match=r"still carries .*maps-and-paperwork"):
        season.edit("Forget the scouting day", off)
    with pytest.raises(NotFound, match="loadout 'monday'"):
        season.edit("Monday", [Change("stowed", "monday/chainsaw", "zone", "drawer-left")])
    with pytest.raises(NotFound, match="zone 'attic'"):
        season.edit("Attic", [Change("stowed", "friday-departure/chainsaw", "zone", "attic")])
    season.remove("loadout", FRIDAY)
    gone = [Change("seat", "rear-left", field, None) for field in season.fields("seat", "Rear left")]
    with pytest.raises(NotFound, match="seat or zone 'rear-left'"):
        season.edit("Marta sits there", gone)
    assert season.version == version + 1


def test_a_loadout_holds_only_what_can_be_true(season: Season) -> None:
    """More than are owned, two on one seat, a load on a carrier that is off: refused. A swap is fine."""
    with pytest.raises(BadValue, match=r"Friday departure, Loppers: count 3 is more than the 2 owned"):
        season.stow(FRIDAY, "loppers", "Drawer left", 3)
    with pytest.raises(BadValue, match="is already taken by"):
        season.ride(FRIDAY, "dov", "Driver")
    with pytest.raises(BadValue, match="roof rack, which is off"):
        season.set_loadout(FRIDAY, carrier_on=False)
    with season.entry("Dov drives"):
        season.ride(FRIDAY, "dov", "Driver")
        season.ride(FRIDAY, "ines", "Front passenger")
    assert {p.key: p.seat for p in season.loadout(FRIDAY).people if p.key != "marta"} == {
        "dov": "Driver",
        "ines": "Front passenger",
    }


def test_stowing_and_filling(season: Season) -> None:
    """Count and own place stay while the zone does; None leaves a thing behind; an overload is kept."""
    place = Place(aft_m=1.5, left_m=0.2, up_m=2.0)
    season.stow(FRIDAY, "loppers", "Roof platform front", 1, place)
    season.stow(FRIDAY, "loppers", "Roof platform front")
    on_roof = next(s for s in season.loadout(FRIDAY).gear if s.item.key == "loppers")
    assert (on_roof.count, on_roof.place) == (1, place)
    season.stow(FRIDAY, "loppers", "Drawer left", 2)
    in_drawer = next(s for s in season.loadout(FRIDAY).gear if s.item.key == "loppers")
    assert (in_drawer.count, in_drawer.place) == (2, None)

    season.set_fill(FRIDAY, "Water can 1", 4.0)
    season.set_fill(FRIDAY, "Water can 3", 18.0, "Roof platform rear")
    fills = {f.liquid.name: (f.zone, f.fill_l) for f in season.loadout(FRIDAY).liquids}
    assert fills["Water can 1"] == ("Cargo floor front", 4.0)
    assert fills["Water can 3"] == ("Roof platform rear", 18.0)
    season.stow(FRIDAY, "loppers", None)
    assert all(s.item.key != "loppers" for s in season.loadout(FRIDAY).gear)


def test_copies(season: Season) -> None:
    """A loadout like another carries the same things."""
    season.add_loadout("Sunday home", like=FRIDAY, fuel_l=20.0)
    friday, sunday = season.loadout(FRIDAY), season.loadout("sunday HOME")
    assert (sunday.gear, sunday.people, sunday.liquids) == (friday.gear, friday.people, friday.liquids)
    assert sunday.fuel_l == 20.0
