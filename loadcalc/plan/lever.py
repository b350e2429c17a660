"""One quantity that a slider may set: what it is, how far it goes, and what it does to a loadout.

It says only how it changes the records. What that does to the ratings follows from the share matrix.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.model.loadout import Loadout

Put = Callable[[Loadout, float], Loadout]


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """Something that a slider sets.

    key, name : for code and for people; measure : "mass", "volume", "pressure", or "people".
    low, high, now : in kg, L, kPa, or people; put : the loadout as it would be with a value.
    knots : between them the loads run straight lines; touches : what it changes, by key.
    limits : the limits [kg] that it changes, by rating, None where not known; whole : whole numbers only.
    kept : whether one loadout can hold it, so that it can be kept as a loadout of its own.
    """

    key: str
    name: str
    measure: str
    low: float
    high: float
    now: float
    put: Put
    knots: tuple[float, ...]
    touches: frozenset[str]
    limits: Callable[[float], dict[str, float | None]] | None = None
    whole: bool = False
    kept: bool = False

    def checked(self, value: float) -> float:
        """Return a value that the quantity can have. Raises BadValue outside low to high."""
        return check.number(self.name, value, self.low, self.high, self.measure)


def apart(chosen: Iterable[Quantity]) -> None:
    """Raise BadValue when two quantities change the same thing: then one would undo the other.

    Parameters
    ----------
    chosen : the quantities that are set together.
    """
    taken: dict[str, Quantity] = {}
    for quantity in chosen:
        for key in quantity.touches:
            if key in taken:
                problem = f"changes the same thing as {taken[key].name}"
                raise BadValue("quantity", quantity.name, problem, "choose one of the two")
            taken[key] = quantity


def line(
    key: str, name: str, measure: str, span: tuple[float, float, float], put: Put, **rest: object
) -> Quantity:
    """A quantity whose loads run one straight line below what is now and one above.

    Parameters
    ----------
    key, name, measure, put : see Quantity; span : low, now, and high; rest : its other fields.
    """
    low, now, high = span
    now = min(max(now, low), high)
    knots = tuple(sorted({low, now, high}))
    return Quantity(
        key=key, name=name, measure=measure, low=low, high=high, now=now, put=put, knots=knots, **rest  # type: ignore[arg-type]  # the fields that are left
    )  # fmt: skip
