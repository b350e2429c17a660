"""The same judgment written as a first spreadsheet-like attempt would be: tables and units carried along.

It shares no code with the package: that makes it a check as well as a yardstick.
"""

from __future__ import annotations

from typing import Any

import pandas as pd
import pint

from loadcalc.model import Filled, Loadout, Place, Stowed, Vehicle
from tests.bench.outputs import Outputs


class Naive:
    """Tables of what rides, made once; `judge` walks them with quantities that carry their unit."""

    def __init__(self, vehicle: Vehicle, loadout: Loadout) -> None:
        self.unit: Any = pint.UnitRegistry()
        self.vehicle = vehicle
        self.zones = self._zone_table(loadout)
        self.gear = self._gear_table(loadout)
        self.fixed = self._fixed_table(vehicle, loadout)

    def judge(self) -> Outputs:
        """Loads on all ratings, total, center, and wheels."""
        kg, m = self.unit.kilogram, self.unit.meter
        loads: dict[str, Any] = {}
        total, aft, left, up = 0 * kg, 0 * kg * m, 0 * kg * m, 0 * kg * m
        table = pd.concat([self.fixed, self.gear.merge(self.zones, on="zone")])
        for _, row in table.iterrows():
            mass = row["mass"]
            total += mass
            aft += mass * row["aft"]
            left += mass * row["left"]
            up += mass * row["up"]
            for key in self._counts_against(row):
                loads[key] = loads.get(key, 0 * kg) + mass
        rear = aft / (self.vehicle.wheelbase_m * m)
        wheels = self._wheels(total - rear, rear, left)
        loads |= {"gross": total, "front_axle": total - rear, "rear_axle": rear} | wheels
        return Outputs(
            loads_kg={key: load.to("kilogram").magnitude for key, load in loads.items()},
            mass_kg=total.to("kilogram").magnitude,
            center_m=tuple((moment / total).to("meter").magnitude for moment in (aft, left, up)),
        )

    def _wheels(self, front: Any, rear: Any, moment: Any) -> dict[str, Any]:
        vehicle, m = self.vehicle, self.unit.meter
        front_tilt = moment * vehicle.front_roll_share / (vehicle.front_track_m * m)
        rear_tilt = moment * (1 - vehicle.front_roll_share) / (vehicle.rear_track_m * m)
        return {
            "tire:front_left": front / 2 + front_tilt,
            "tire:front_right": front / 2 - front_tilt,
            "tire:rear_left": rear / 2 + rear_tilt,
            "tire:rear_right": rear / 2 - rear_tilt,
        }

    @staticmethod
    def _counts_against(row: pd.Series) -> list[str]:
        keys = [] if row["kind"] in ("vehicle", "fuel") else ["placard"]
        if row["kind"] == "carrier" or row["on_carrier"]:
            keys += ["roof_road", "roof_off_road", "roof_parked"]
        if row["on_carrier"]:
            keys += ["carrier_road", "carrier_off_road", "carrier_parked"]
        if row["sleeps_on_roof"]:
            keys += ["roof_parked", "carrier_parked"]
        if row["zone"]:
            keys.append(f"zone:{row['zone']}")
        return keys

    def _zone_table(self, loadout: Loadout) -> pd.DataFrame:
        m = self.unit.meter
        return pd.DataFrame(
            [
                {
                    "zone": zone.name,
                    "aft": zone.place.aft_m * m,
                    "left": zone.place.left_m * m,
                    "up": zone.place.up_m * m,
                    "on_carrier": zone.on_carrier,
                }
                for zone in loadout.zones
            ]
        )

    def _gear_table(self, loadout: Loadout) -> pd.DataFrame:
        kg = self.unit.kilogram
        things: tuple[Stowed | Filled, ...] = (*loadout.gear, *loadout.liquids)
        return pd.DataFrame(
            [
                {"kind": "gear", "zone": thing.zone, "mass": thing.mass_kg * kg, "sleeps_on_roof": False}
                for thing in things
            ]
        )

    def _fixed_table(self, vehicle: Vehicle, loadout: Loadout) -> pd.DataFrame:
        """Vehicle without fuel, fuel, carrier, and people, each at its place."""
        curb, tank = vehicle.curb_cg, vehicle.tank
        curb_fuel_kg = vehicle.curb_fuel_l * tank.density_kg_per_l
        dry_kg = vehicle.curb_kg - curb_fuel_kg
        dry = [
            (vehicle.curb_kg * getattr(curb, axis) - curb_fuel_kg * getattr(tank.place, axis)) / dry_kg
            for axis in ("aft_m", "left_m", "up_m")
        ]
        rows = [self._row("vehicle", dry_kg, *dry)]
        rows.append(self._row("fuel", loadout.fuel_l * tank.density_kg_per_l, *_xyz(tank.place)))
        if loadout.carrier is not None:
            rows.append(self._row("carrier", loadout.carrier.mass_kg, *_xyz(loadout.carrier.place)))
        places = {seat.name: seat.place for seat in vehicle.seats}
        for who in loadout.people:
            row = self._row(who.kind, who.mass_kg, *_xyz(places[who.seat]))
            rows.append(row | {"sleeps_on_roof": who.sleeps_on_roof})
        return pd.DataFrame(rows)

    def _row(self, kind: str, mass_kg: float, aft_m: float, left_m: float, up_m: float) -> dict[str, object]:
        kg, m = self.unit.kilogram, self.unit.meter
        return {
            "kind": kind,
            "zone": "",
            "mass": mass_kg * kg,
            "sleeps_on_roof": False,
            "aft": aft_m * m,
            "left": left_m * m,
            "up": up_m * m,
            "on_carrier": False,
        }


def _xyz(place: Place) -> tuple[float, float, float]:
    return place.aft_m, place.left_m, place.up_m
