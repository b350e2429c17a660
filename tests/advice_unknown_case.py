"""For the tests of limits that nobody knows: a season where only the roof has room, and random gaps."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

from loadcalc.model import Filled, Limit, Loadout, Size, Stowed, Vehicle
from loadcalc.season import Season
from tests.advice_cases import tight_case
from tests.season_help import FRIDAY, demo_season

SPOOL, SPOOL_KG, SPOOL_SIZE = "Cable spool", 90.0, Size(length_m=0.5, width_m=0.5, height_m=0.25)
ROOF_LIMITS = (
    "roof_road",
    "roof_off_road",
    "roof_parked",
    "carrier_road",
    "carrier_off_road",
    "carrier_parked",
)
ROOF_ZONES = ("zone:Roof platform front", "zone:Roof platform rear")


def spool_season(tmp_path: Path) -> Season:
    """The demo with a spool of 90 kg on a floor rated for less, no zone with a known limit that takes it, and nothing
    known of the roof: neither its limits nor its bars and feet.
    """
    season = demo_season(tmp_path, durable=False)
    loads = {zone.name: 0.0 for zone in season.zones}
    loadout = season.loadout(FRIDAY)
    aboard: tuple[Stowed | Filled, ...] = (*loadout.gear, *loadout.liquids)
    for thing in aboard:
        loads[thing.zone] += thing.mass_kg
    with season.entry("a roof of which nothing is known"):
        for bar in loadout.carrier.bars if loadout.carrier is not None else ():
            season.remove("bar", bar.name)
        for key in ROOF_LIMITS:
            season.set_limit(key, Limit())
        for key in ("gross", "front_axle", "rear_axle", "placard"):
            season.set_limit(key, Limit(limit_kg=4000.0, read_at="invented"))
        for zone in season.zones:
            if not zone.on_carrier:
                season.set_zone(zone.name, limit=Limit(limit_kg=loads[zone.name] + 1.0, read_at="invented"))
        season.add_item(name=SPOOL, mass_kg=SPOOL_KG, must_come=True, size=SPOOL_SIZE)
        season.stow(FRIDAY, SPOOL, "Cargo floor front")
    return season


def gappy_case(seed: int, items: int = 5, zones: int = 3) -> tuple[Vehicle, Loadout]:
    """A tight case that lacks more limits: of zones, of the roof, of an axle or a tire."""
    random = Random(seed + 1000)
    vehicle, loadout = tight_case(seed, items, zones)
    limits = {key: limit for key, limit in vehicle.limits.items() if random.random() < 0.6}
    if random.random() < 0.3:
        vehicle = replace(vehicle, front_tire=replace(vehicle.front_tire, load_index=None))
    own = tuple(zone if random.random() < 0.6 else replace(zone, limit=Limit()) for zone in loadout.zones)
    return replace(vehicle, limits=limits), replace(loadout, zones=own)
