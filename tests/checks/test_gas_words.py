"""What names say of fuel and gas: every row of the table, names as people write them, and look-alikes."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.gas import hazards, kind_of
from loadcalc.checks.gas_words import MOST_WORDS
from loadcalc.model import Filled, Item, Liquid, Loadout, Place, Size, Stowed, Zone
from loadcalc.model.facts import fact_rows

ROWS = fact_rows("fuel_and_gas_words")
SAYS = ("fuel", "gas", "perhaps", "holder", "once", "thing", "other", "aside")


def words_that(*says: str) -> list[str]:
    """The table's words that say one of these."""
    return [row["words"] for row in ROWS if row["says"] in says]


def gear(name: str, kind: str = "") -> str:
    """What a departure with one unmarked piece of gear has on board: "fuel", "gas", "ask", or "" for nothing."""
    zone = Zone(name="z", place=Place(aft_m=2, up_m=1), size=Size(length_m=1, width_m=1, height_m=1))
    item = Item(name=name, mass_kg=1.0, kind=kind)
    found = hazards(Loadout(name="day", zones=(zone,), gear=(Stowed(item=item, zone="z"),)))
    return found[0].kind if found else ""


def can(kind: str, name: str = "No. 1") -> str:
    """The same for a can of something."""
    zone = Zone(name="z", place=Place(aft_m=2, up_m=1), size=Size(length_m=1, width_m=1, height_m=1))
    liquid = Liquid(name=name, kind=kind, container_kg=1, capacity_l=5, density_kg_per_l=0.8)
    filled = (Filled(liquid=liquid, zone="z", fill_l=0.0),)
    found = hazards(Loadout(name="day", zones=(zone,), liquids=filled))
    return found[0].kind if found else ""


def test_the_table_is_whole() -> None:
    """Each word once, in small ASCII letters, with meaning, source, and status; none longer than is looked for."""
    assert len({row["words"].replace(" ", "") for row in ROWS}) == len(ROWS)
    for row in ROWS:
        assert row["words"] == row["words"].strip().lower()
        assert row["words"].isascii()
        assert len(row["words"].split()) <= MOST_WORDS
        assert row["says"] in SAYS
        assert (row["status"], row["source"][:9]) == ("common practice", "no source")


@pytest.mark.parametrize(
    "row", [row for row in ROWS if row["says"] in ("fuel", "gas")], ids=lambda row: row["words"]
)
def test_each_word_for_fuel_or_gas(row: dict[str, str]) -> None:
    """As a can's content, as a name, in capitals, with a hyphen, in brackets, with an amount, empty, and many."""
    word, says = row["words"], row["says"]
    for text in (word, word.upper(), word.replace(" ", "-"), f" {word}, 20 L", f"{word} (5 gal)", f"{word}s"):
        assert can(text) == says, text
        assert gear(text) == says, text
    for text in (
        f"Jerry can, {word}",
        f"Jerry can ({word})",
        f"Drum of {word}",
        f"Drum: {word}",
        f"empty {word}",
    ):
        assert gear(text) == says, text
        assert can("", text) == says, text
    for thing in ("stove", "strap", "gauge", "hoses"):
        if not word.startswith(("gas can", "gas jug", "gas jerry")):
            assert gear(f"{word} {thing}") == "", thing
    assert gear(f"{word} thingamajig") == "ask"


@pytest.mark.parametrize("holder", words_that("holder", "once"))
def test_each_holder(holder: str) -> None:
    """One, many, and in capitals it holds what stands before it; alone it says nothing, and water in it is water."""
    for text in (f"Propane {holder}", f"PROPANE {holder}S", f"propane {holder}s (2)", f"propane-{holder}"):
        assert gear(text) == "gas", text
    assert gear(f"Petrol {holder}") == "fuel"
    assert gear(holder) == gear(f"Water {holder}") == gear(f"{holder} of water") == ""


@pytest.mark.parametrize("thing", words_that("thing"))
def test_each_thing_that_holds_none(thing: str) -> None:
    """A strap for gas is a strap; but a strap and gas are both on board."""
    for text in (
        f"Gas {thing}",
        f"Propane cylinder {thing}",
        f"fuel can {thing}s",
        f"Petrol {thing} (spare)",
    ):
        assert gear(text) == "", text
    assert gear(f"Gas {thing}, gas bottle") == "gas"
    assert gear(f"{thing} and gas bottle") == "gas"
    assert gear(f"{thing}, propane") == "ask"
    assert gear(f"{thing} for gas bottle") == "ask"


@pytest.mark.parametrize("other", words_that("other"))
def test_each_content_that_is_neither(other: str) -> None:
    """Water is water, in whatever; with a word for fuel beside it somebody is asked."""
    assert can(other) == gear(f"{other} can") == gear(f"Jerry can, {other}") == can(other, "Jerry can") == ""
    assert gear(f"{other} can, petrol") == "ask"
    assert can(other, "Petrol can") == "ask"


@pytest.mark.parametrize("word", words_that("perhaps"))
def test_each_word_that_may_mean_either(word: str) -> None:
    """Somebody is asked; what stands beside it may tell."""
    for text in (word, f"{word}s", f"Spare {word}", f"{word} 2"):
        assert gear(text) == "ask", text
    assert can(word) == "ask"
    assert gear(f"{word} strap") == ""
    assert gear(word, kind="fuel") == "fuel"


@pytest.mark.parametrize("word", words_that("aside"))
def test_each_word_that_tells_nothing(word: str) -> None:
    """Before or behind a word for fuel it changes nothing; alone it is nothing."""
    assert gear(f"{word} petrol can") == gear(f"Petrol can {word}") == gear(f"Petrol {word}") == "fuel"
    assert gear(word) == ""


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Gas bottles, 2 x 9 kg", "gas"),
        ("BBQ gas bottle", "gas"),
        ("L.P.G. bottle", "gas"),
        ("iso-butane canisters", "gas"),
        ("Propane cylinder and regulator", "gas"),
        ("Stove with gas cartridge", "gas"),
        ("Kitchen: gas bottle", "gas"),
        ("Empty propane cylinder", "gas"),
        ("Camping gas", "gas"),
        ("GAS  BOTTLE!!", "gas"),
        ("Jerrycan petrol 20L", "fuel"),
        ("2 jerry-cans of diesel", "fuel"),
        ("Can for petrol", "fuel"),
        ("Red plastic can, unleaded", "fuel"),
        ("No. 2 diesel", "fuel"),
        ("Fuel for the stove", "fuel"),
        ("Ines\u2019s petrol", "fuel"),
        ("Petrol tin", "fuel"),
        ("Saw mix (gasoline)", "fuel"),
        ("E-85", "fuel"),
        ("Gas stove with cartridge", "ask"),
        ("Stove (propane)", "ask"),
        ("Camp stove propane", "ask"),
        ("Hose, propane", "ask"),
        ("Diesel heater", "ask"),
        ("Jerry can, no petrol", "ask"),
        ("Water can (was petrol)", "ask"),
        ("Fuel/water can", "ask"),
        ("Bag for gas bottles", "ask"),
        ("Oxygen cylinder", "ask"),
    ],
)
def test_names_as_people_write_them(name: str, kind: str) -> None:
    """Worked out by reading them, not by the program."""
    assert gear(name) == kind


@pytest.mark.parametrize(
    "name",
    [
        "Gas stove", "Gas tank strap", "Oil lamp (empty)", "Water can", "Fuel gauge", "Vegas brand water", "Gasket kit",
        "Chainsaw", "Bar and chain oil", "Two-stroke oil", "Diesel engine oil", "Diesel exhaust fluid", "Trail mix",
        "Spirit level", "Alcohol wipes", "Alcohol-free beer", "Gas struts", "Gas mask", "Butane lighter", "Can opener",
        "Tin of beans", "Water bottle", "Paraffin wax", "Fuel card", "Rope", "Tank top", "Cylinder head gasket",
        "Hydrogen peroxide", "Grapefruit juice", "Canvas", "Refuelling log", "Dieselgate: a book",
        "Bottle jack and base", "Jerry can of water", "Gas bottle spanner", "Wash basin and trash bags",
        "", "20 L", "!!!",
    ],
)  # fmt: skip
def test_look_alikes(name: str) -> None:
    """None of these is told as fuel or gas, and none is asked about."""
    assert kind_of(Item(name=name or " x", mass_kg=1.0)) == ""


@given(
    st.sampled_from(words_that("fuel", "gas")),
    st.lists(st.sampled_from(words_that("aside", "holder", "once")), max_size=3),
    st.sampled_from((str.upper, str.title, str.lower)),
    st.sampled_from((" ", "  ", "-", "\u2011", "_")),
)
def test_case_and_punctuation_change_nothing(word: str, more: list[str], case: object, between: str) -> None:
    """However it is spaced, hyphened, and capitalized, and whatever it is kept in, it is never missed."""
    text = " ".join([*more, word, "can"]).replace(" ", between)
    text = unicodedata.normalize("NFD", case(text))  # type: ignore[operator]  # one of three methods of str
    assert gear(text) in ("fuel", "gas")


@given(st.text(max_size=60))
def test_any_text_can_be_read(text: str) -> None:
    """It never fails, and says one of four things."""
    assert can(text) in ("", "fuel", "gas", "ask")
