"""Ratings, gear, and trips as pandas tables: what is in them is what the records say, and NaN is no pass."""

from __future__ import annotations

import datetime
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given

from loadcalc import Item, Loadout, Place, Size, Stowed, Zone, evaluate, start_season
from loadcalc.checks.ratings.report import STATES
from loadcalc.season.edit.diary import Trip
from loadcalc.season.edit.frames import gear_frame, trips_frame
from tests.season_help import BLANK, FRIDAY, demo_season
from tests.strategies import STEADY, Case, cases


@STEADY
@given(cases())
def test_every_rating_is_a_row_and_says_how_it_stands(case: Case) -> None:
    """Numbers as in the report; the state of each row alone tells over, within, assumed, and not known apart."""
    report = evaluate(*case)
    frame = report.frame()
    assert list(frame.index) == [rating.key for rating in report.ratings]
    assert list(frame["state"].cat.categories) == list(STATES)
    for rating in report.ratings:
        row = frame.loc[rating.key]
        assert ("over" in row["state"]) == rating.over
        assert (row["state"] == "not known") == (rating.limit is None) == pd.isna(row["consumed"])
        assert ("assumption" in row["state"]) == bool(rating.assumed and rating.known)
        if rating.unit == "kg":
            assert row["load_kg"] == rating.load
            assert pd.isna(row["limit_kg"]) if rating.limit is None else row["limit_kg"] == rating.limit
        else:
            assert row[["load_kg", "limit_kg", "headroom_kg"]].isna().all()


def test_the_gear_by_hand() -> None:
    """Two saws of three ride along, the tent stays home."""
    saw = Item(key="saw", name="Saw", mass_kg=6.5, count=3, kind="saws")
    tent = Item(key="tent", name="Tent", mass_kg=4.0, size=Size(length_m=0.6, width_m=0.3, height_m=0.3))
    drawer = Zone(
        name="Drawer",
        place=Place(aft_m=2.0, up_m=0.9),
        size=Size(length_m=1.0, width_m=0.5, height_m=0.3),
        in_cabin=True,
    )
    packed = Loadout(name="a", zones=(drawer,), gear=(Stowed(item=saw, zone="Drawer", count=2),))

    frame = gear_frame([saw, tent], packed)

    assert frame.loc["saw", "along_kg"] == 13.0  # 2 x 6.5 kg
    assert frame.loc["saw", "zone"] == "Drawer"
    assert frame.loc["tent", "along"] == 0
    assert frame["zone"].isna().to_list() == [False, True]
    assert frame["mass_kg"].mul(frame["count"].astype(float)).sum() == 23.5  # 3 x 6.5 + 4
    assert frame["length_m"].isna().to_list() == [True, False]
    assert frame.loc["tent", "length_m"] == 0.6
    assert "zone" not in gear_frame([saw])


def test_the_trips_by_hand() -> None:
    """Three days are from the 15th to the 17th; what nobody entered is NaN, not 0."""
    day = datetime.date(2026, 5, 15)
    made = Trip(
        key="a", name="A", date=day, until=datetime.date(2026, 5, 17), people=("x", "y"), gear_kg=120.0
    )
    row = trips_frame([made]).loc["a"]
    assert (row["days"], row["people"], row["gear_kg"]) == (3, 2, 120.0)
    assert row["date"] == pd.Timestamp(2026, 5, 15)
    assert pd.isna(row["distance_km"])


@pytest.mark.parametrize("blank", [False, True])
def test_a_seasons_frames_add_up(blank: bool, tmp_path: Path) -> None:
    """What rides along weighs what the report counts as gear; a blank season gives empty tables of the same columns."""
    season = start_season(tmp_path / "new", BLANK) if blank else demo_season(tmp_path, durable=False)
    name = season.loadout_names[0] if blank else FRIDAY
    gear, trips = season.gear_frame(name), season.trips_frame()
    carried_kg = sum(stowed.mass_kg for stowed in season.loadout(name).gear)
    assert gear["along_kg"].sum() == pytest.approx(carried_kg, rel=1e-12)
    assert len(gear) == len(season.gear)
    assert len(trips) == len(season.trips)
    assert gear.dtypes.astype(str)["mass_kg"] == trips.dtypes.astype(str)["gear_kg"] == "float64"
    assert trips.dtypes.astype(str)["date"].startswith("datetime64")
