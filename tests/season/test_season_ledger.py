"""Whatever is edited and undone, in whatever order: the present is what the ledger adds up to."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.model import Limit, LoadcalcError
from loadcalc.season import Change, Season, open_season
from tests.season_help import FRIDAY, added_up, demo_season, kept, records
from tests.strategies import tried

Edit = Callable[[Season], Any]
ITEMS = st.sampled_from(["chainsaw", "loppers", "rock-bar", "pick-mattock", "new"])
ZONES = st.sampled_from(["Drawer left", "Cargo deck rear", "Roof platform rear", "Nowhere", None])
NAMES = st.sampled_from(["Loppers", "Saw", "Ünicode säge", "  ", "x" * 50, "Rock bar", 'Quote "it"'])
NUMBERS = st.sampled_from([0, 1, 2.5, -1.0, 1e9, float("nan"), "many", None])


def edits() -> st.SearchStrategy[Edit]:
    """Edits of every sort, sensible and not; a refused one must leave no trace."""
    return st.one_of(
        st.builds(lambda k, n: lambda s: s.set_item(k, mass_kg=n, plus_minus_kg=n), ITEMS, NUMBERS),
        st.builds(lambda k, n: lambda s: s.set_item(k, name=n), ITEMS, NAMES),
        st.builds(lambda n, m: lambda s: s.add_item(name=n, mass_kg=m, key="new"), NAMES, NUMBERS),
        st.builds(lambda k: lambda s: s.remove("item", k), ITEMS),
        st.builds(lambda k, n: lambda s: s.add("item", **{**s.fields("item", k), "name": n}), ITEMS, NAMES),
        st.builds(lambda k, z, n: lambda s: s.stow(FRIDAY, k, z, n), ITEMS, ZONES, NUMBERS),
        st.builds(lambda z, n: lambda s: s.set_zone(z, name=n), ZONES, NAMES),
        st.builds(lambda n: lambda s: s.set_fuel(FRIDAY, n), NUMBERS),
        st.builds(lambda n: lambda s: s.set_fill(FRIDAY, "water-can-1", n), NUMBERS),
        st.builds(lambda n: lambda s: s.set_limit("gross", Limit(limit_kg=n)), NUMBERS),
        st.builds(lambda n: lambda s: s.add_loadout(n, like=FRIDAY), NAMES),
        st.builds(lambda b: lambda s: s.set_loadout(FRIDAY, carrier_on=b), st.booleans()),
        st.builds(lambda: lambda s: s.remove("loadout", "Scouting day")),
        st.builds(lambda k, f, n: lambda s: s.edit("Raw", [Change("item", k, f, n)]), ITEMS, NAMES, NUMBERS),
    )


UNDO = "undo"
STEPS = st.lists(st.one_of(edits(), st.just(UNDO)), min_size=5, max_size=25)


@tried(8)
@given(steps=STEPS)
def test_any_edits_and_undos_add_up(
    tmp_path_factory: pytest.TempPathFactory, steps: list[Edit | str]
) -> None:
    """After any edits and undos: present == changes added up, and each undo restores the state before."""
    folder = tmp_path_factory.mktemp("season")
    with demo_season(folder, durable=False) as season:
        states = [records(season)]
        for step in steps:
            version = season.version
            if callable(step):
                _try(season, step)
                if season.version > version:
                    assert season.version == version + 1
                    states.append(records(season))
            elif len(states) > 1:
                assert season.undo() is not None
                states.pop()
            else:
                assert season.undo() is None
            assert records(season) == states[-1]
        season.verify()
        assert kept(season.folder) == added_up(season.folder)
        with open_season(season.folder) as fresh:
            assert records(fresh) == records(season)
    assert kept(season.folder) == added_up(season.folder)


def _try(season: Season, edit: Edit) -> None:
    try:
        edit(season)
    except LoadcalcError:
        return


def test_the_edits_above_do_something(tmp_path: Path) -> None:
    """The random edits are not all refused: sensible ones of each sort are kept."""
    with demo_season(tmp_path, durable=False) as season:
        season.set_item("chainsaw", mass_kg=2.5, plus_minus_kg=2.5)
        season.add_item(name="Saw", mass_kg=1, key="new")
        season.set_zone("Drawer left", name="Saw")
        season.add_loadout('Quote "it"', like=FRIDAY)
        season.edit("Raw", [Change("item", "new", "mass_kg", 2.5)])
        assert season.version == 6


def test_the_ledger_tells_any_earlier_day(tmp_path: Path) -> None:
    """Adding up only the entries until some point gives the inventory as it was then."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        then, facts = season.version, kept(season.folder)
        season.set_item("chainsaw", mass_kg=8.0)
        season.remove("item", "loppers")
        sql = "SELECT subject, key, field, value FROM history WHERE entry_id <= ? ORDER BY id"
        rows = season.db.execute(sql, (then,)).fetchall()
        earlier = {tuple(row[:3]): json.loads(row[3]) for row in rows}
        masses = [
            change.value for _, change in season.history("item", "chainsaw") if change.field == "mass_kg"
        ]

    assert earlier == facts
    assert masses[1:] == [7.0, 8.0]
