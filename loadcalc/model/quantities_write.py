"""SI floats as text in the reader's units, US or SI.

Shown text has three digits, or all that stand before the point: "2588 lb", "12.3 lb", "0.2 lb". Lengths are
in inches to a tenth (US) or whole millimeters (SI, as on any vehicle drawing). Text for an editable cell
("entry") has six digits, so that saving a table unchanged changes nothing that a scale could show. Masses have
thousands marks; lengths have none, as on any drawing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from loadcalc.model.errors import BadValue
from loadcalc.model.quantities_text import decimal_mark
from loadcalc.model.unit_names import FINEST, factor

ENTRY_DIGITS = 6
MINUS = "\u2212"
THIN = "\u202f"  # narrow no-break space, which SI groups digits with


def plain_number(value: float, *, digits: int, most_decimals: int = 9) -> str:
    """Return `value` to `digits` digits (all those before the point, always); no exponent, no idle zeros."""
    if not value or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    decimals = digits - 1 - math.floor(math.log10(abs(value)))
    text = f"{value:.{min(max(decimals, 0), most_decimals)}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitScale:
    """One quantity in one unit: how it is written and what one of the unit is in SI.

    unit : the unit word as shown. si_per_unit : SI units in one of it. most_decimals : never more than these.
    grouping : what stands between thousands in prose.
    """

    unit: str
    si_per_unit: float
    most_decimals: int
    grouping: str

    def value(self, si: float) -> float:
        """Return an SI number in this unit, unrounded: for axes and sliders."""
        return si / self.si_per_unit

    def si(self, value: float) -> float:
        """Return a number of this unit in SI."""
        return value * self.si_per_unit

    def number(self, si: float, *, grouped: bool = False) -> str:
        """Return the bare number as shown, with a true minus; `grouped` has thousands marks."""
        text = plain_number(self.value(si), digits=3, most_decimals=self.most_decimals)
        return self._grouped(text) if grouped else text.replace("-", MINUS)

    def text(self, si: float, *, grouped: bool = False) -> str:
        """Return the number as shown, with its unit."""
        return f"{self.number(si, grouped=grouped)} {self.unit}"

    def entry(self, si: float) -> str:
        """Return the bare number for an editable cell, to six digits; "1.2340" where "1.234" is asked about."""
        text = plain_number(self.value(si), digits=ENTRY_DIGITS)
        asked = self.si_per_unit <= float(FINEST) and "." in text and not decimal_mark(text.lstrip("-"))
        return f"{text}0" if asked else text

    def half_digit(self, si: float) -> float:
        """Return half a unit of the last digit that :meth:`number` may show of `si` [SI]."""
        size = abs(self.value(si))
        decimals = 2 - math.floor(math.log10(size)) if size > 0 else self.most_decimals
        return 0.5 * 10.0 ** -min(max(decimals, 0), self.most_decimals) * self.si_per_unit

    def same_entry(self, one: float, other: float) -> bool:
        """Tell whether two SI numbers are the same to the six digits of an editable cell."""
        return math.isclose(one, other, rel_tol=0.51 * 10.0 ** (1 - ENTRY_DIGITS), abs_tol=1e-9)

    def at_most(self, si: float, most: float) -> float:
        """Return an SI number, or `most` where it is more by no more than rounding: both are shown the same."""
        return most if si > most and self.number(si) == self.number(most) else si

    def change(self, si: float) -> str:
        """Return a signed difference: "+12 lb", with a true minus sign below zero, "0 lb" for none."""
        text = self.number(si, grouped=True)
        return f"{'' if text == '0' or si < 0 else '+'}{text} {self.unit}"

    def more_or_less(self, si: float, *, more: str = "more", less: str = "less") -> str:
        """Return a difference in words: "12 lb more", "12 lb less", "no change"."""
        text = self.number(abs(si), grouped=True)
        return "no change" if text == "0" else f"{text} {self.unit} {more if si > 0 else less}"

    def _grouped(self, text: str) -> str:
        """Return a bare number with thousands marks and a true minus sign."""
        whole, point, decimals = text.removeprefix("-").partition(".")
        sign = MINUS if text.startswith("-") else ""
        return f"{sign}{int(whole):,}".replace(",", self.grouping) + point + decimals


def _scales(grouping: str, **rows: tuple[str, int]) -> dict[str, UnitScale]:
    return {
        quantity: UnitScale(
            unit=unit, si_per_unit=float(factor(quantity, unit)), most_decimals=decimals, grouping=grouping
        )
        for quantity, (unit, decimals) in rows.items()
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Units:
    """The reader's units, "US" or "SI". Numbers come in as kg, L, m, kPa, kg/L; text is in the reader's."""

    name: str
    scales: dict[str, UnitScale] = field(repr=False, hash=False, compare=False)

    def scale(self, quantity: str) -> UnitScale:
        """Return the scale of "mass", "volume", "length", "pressure" or "density"."""
        if quantity not in self.scales:
            raise BadValue("quantity", quantity, "is not one", f"choose one of: {', '.join(self.scales)}")
        return self.scales[quantity]

    def mass(self, mass_kg: float, *, grouped: bool = True) -> str:
        """Return "38 lb" or "17.2 kg", with thousands marks: "2,588 lb" or "1 174 kg"."""
        return self.scales["mass"].text(mass_kg, grouped=grouped)

    def mass_number(self, mass_kg: float, *, grouped: bool = False) -> str:
        """Return the mass as a bare number, for a column whose header has the unit."""
        return self.scales["mass"].number(mass_kg, grouped=grouped)

    @property
    def decimal_comma(self) -> bool | None:
        """What a comma is in "6,610" on a page in these units: thousands where we write it so, else not told."""
        return False if self.scales["mass"].grouping == "," else None

    @property
    def mass_unit(self) -> str:
        """The unit word of masses: "lb" or "kg"."""
        return self.scales["mass"].unit

    def mass_change(self, mass_kg: float) -> str:
        """Return a signed difference of mass: "+12 lb"."""
        return self.scales["mass"].change(mass_kg)

    def mass_more(self, mass_kg: float) -> str:
        """Return a difference of mass in words: "12 lb more"."""
        return self.scales["mass"].more_or_less(mass_kg)

    def volume(self, volume_l: float, *, grouped: bool = False) -> str:
        """Return "2.5 gal" or "9.46 L"."""
        return self.scales["volume"].text(volume_l, grouped=grouped)

    @property
    def volume_unit(self) -> str:
        """The unit word of volumes: "gal" or "L"."""
        return self.scales["volume"].unit

    def length(self, length_m: float, *, grouped: bool = False) -> str:
        """Return "72.5 in" or "1842 mm"."""
        return self.scales["length"].text(length_m, grouped=grouped)

    def sideways(self, left_m: float) -> str:
        """Return a place to the left or right of the center line in words: "15 in right", "13 in left", "0 in"."""
        text = self.length(abs(left_m))
        return text if text == self.length(0.0) else f"{text} {'left' if left_m > 0 else 'right'}"

    def length_number(self, length_m: float) -> str:
        """Return the length as a bare number."""
        return self.scales["length"].number(length_m)

    @property
    def length_unit(self) -> str:
        """The unit word of lengths: "in" or "mm"."""
        return self.scales["length"].unit

    def pressure(self, pressure_kpa: float, *, grouped: bool = False) -> str:
        """Return "35 psi" or "241 kPa"."""
        return self.scales["pressure"].text(pressure_kpa, grouped=grouped)

    def density(self, density_kg_per_l: float) -> str:
        """Return "8.34 lb/gal" or "1 kg/L"."""
        return self.scales["density"].text(density_kg_per_l)


US = Units(
    name="US",
    scales=_scales(
        ",", mass=("lb", 3), volume=("gal", 3), length=("in", 1), pressure=("psi", 1), density=("lb/gal", 3)
    ),
)
SI = Units(
    name="SI",
    scales=_scales(
        THIN, mass=("kg", 3), volume=("L", 3), length=("mm", 0), pressure=("kPa", 0), density=("kg/L", 4)
    ),
)


def units(name: str) -> Units:
    """Units by their name.

    Parameters
    ----------
    name : "US" or "SI", in any case

    Returns
    -------
    Units: they write SI numbers for a reader of these units

    Raises
    ------
    BadValue: any other name
    """
    for known in (US, SI):
        if isinstance(name, str) and name.strip().upper() == known.name:
            return known
    raise BadValue("units", name, "is not a known choice", "choose one of: US, SI")
