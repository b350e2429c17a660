"""Gas and fuel: fill limits, dates, and who breathes the same air."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.gas import fill_limit, hazards
from loadcalc.model import Filled, Item, Liquid, Loadout, Place, Size, Stowed, Zone
from loadcalc.model.errors import BadValue
from tests.reference_rows import Row, case_id, half_last_digit, rows

POUND_KG = 0.45359237


@pytest.mark.parametrize("row", rows("gas_fill.csv"), ids=case_id)
def test_fill_limits(row: Row) -> None:
    """42 % by weight and 80 % by volume of the water capacity, and the lower of them."""
    found = fill_limit(float(row["water_capacity_lb"]) * POUND_KG)

    for printed, kg in ((row["by_weight_lb"], found.by_weight_kg), (row["by_volume_lb"], found.by_volume_kg)):
        assert kg / POUND_KG == pytest.approx(float(printed), abs=half_last_digit(printed))
    assert found.limit_kg == min(found.by_weight_kg, found.by_volume_kg)


@given(st.floats(0.5, 100.0))
def test_fill_grows_with_the_cylinder_and_leaves_room(water_kg: float) -> None:
    """Both limits are in proportion to the cylinder, and neither lets the liquid fill it."""
    found = fill_limit(water_kg)

    assert found.by_weight_kg == pytest.approx(0.42 * water_kg, rel=1e-12)
    assert found.limit_kg < 0.9 * 0.507 * water_kg / 0.998


@pytest.mark.parametrize("water_kg", [0.0, 0.099, 500.1])
def test_what_is_no_cylinder_is_refused(water_kg: float) -> None:
    """From a tenth of a kilogram of water to five hundred; both ends are cylinders."""
    with pytest.raises(BadValue, match="water capacity"):
        fill_limit(water_kg)
    assert fill_limit(0.1).limit_kg < fill_limit(500.0).limit_kg




def test_hazards_on_board_and_the_air_they_share() -> None:
    """Cylinders marked as gas and cans of fuel, in and out of the cabin; an empty can of fuel still counts."""
    size = Size(length_m=1.0, width_m=1.0, height_m=1.0)
    loadout = Loadout(
        name="day",
        zones=(
            Zone(name="rack", place=Place(aft_m=4.0, up_m=1.0), size=size, in_cabin=False),
            Zone(name="deck", place=Place(aft_m=3.0, up_m=1.0), size=size, in_cabin=True),
        ),
        gear=(
            Stowed(item=Item(name="cylinder", mass_kg=17.0, hazard="gas"), zone="deck"),
            Stowed(item=Item(name="Gas stove", mass_kg=5.0), zone="deck"),
            Stowed(item=Item(name="Butane cartridge", mass_kg=0.4), zone="deck"),
        ),
        liquids=(
            Filled(
                liquid=Liquid(
                    name="can", kind="gasoline", container_kg=4.6, capacity_l=20, density_kg_per_l=0.75
                ),
                zone="rack",
                fill_l=0.0,
            ),
            Filled(
                liquid=Liquid(name="jug", kind="water", container_kg=1, capacity_l=20, density_kg_per_l=1),
                zone="deck",
                fill_l=10.0,
            ),
        ),
    )

    found = hazards(loadout)

    assert [(h.name, h.kind, h.in_cabin) for h in found] == [
        ("cylinder", "gas", True),
        ("Butane cartridge", "gas", True),
        ("can", "fuel", False),
    ]
    assert found[2].mass_kg == pytest.approx(4.6, abs=1e-12)
