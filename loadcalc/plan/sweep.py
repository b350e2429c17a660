"""The tightest rating over two quantities, the whole grid at once.

Loads are straight lines in what rides where, so a quantity adds one row of changes for each of its values, and
the grid is the sum of two such lists: load[i, j] = now + across[i] + down[j]. Limits that a quantity changes (a
tire aired down) are one more list. Nothing is evaluated cell by cell; the tests do that, and find the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loadcalc.checks.ratings.masses import Mass, masses
from loadcalc.checks.ratings.report import ROUNDING
from loadcalc.checks.ratings.share import Shares
from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.model.limits import ALWAYS
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle
from loadcalc.plan.lever import Quantity, apart

if TYPE_CHECKING:
    import numpy as np

STEPS = 101
NOTHING_KG = 1e-9  # what rounding may leave of an empty zone


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sweep:
    """The tightest rating over two quantities.

    across, down : the quantities; across_values, down_values : (n,) and (m,) values of them.
    consumed : (m, n) load over limit of the tightest rating [-]; binding : (m, n) which one that is, in `keys`.
    keys, names : the ratings with a known limit; not_known : names of those without, which nobody judged.
    """

    across: Quantity
    down: Quantity
    across_values: np.ndarray
    down_values: np.ndarray
    consumed: np.ndarray
    binding: np.ndarray
    keys: tuple[str, ...]
    names: tuple[str, ...]
    not_known: tuple[str, ...]

    @property
    def over(self) -> np.ndarray:
        """(m, n) where some known rating is exceeded."""
        found: np.ndarray = self.consumed > 1 + ROUNDING
        return found


def values_of(quantity: Quantity, steps: int = STEPS) -> np.ndarray:
    """The values on a grid's side: evenly spaced, or every whole number.

    Parameters
    ----------
    quantity : what is set; steps : how many values, ends counted [-].
    """
    import numpy as np

    if quantity.whole:
        return np.arange(quantity.low, quantity.high + 0.5)
    return np.linspace(quantity.low, quantity.high, steps)


def sweep(
    vehicle: Vehicle, loadout: Loadout, across: Quantity, down: Quantity, steps: int = STEPS, condition: str = ""
) -> Sweep:  # fmt: skip
    """Judge every pair of values of two quantities.

    Parameters
    ----------
    vehicle, loadout : what is swept; across, down : two quantities of it; steps : values to a side [-].
    condition : "moving on road", "moving off road", or "parked" leaves out ratings that hold only in another.

    Returns
    -------
    Sweep: the tightest of the ratings with a known limit, at every pair of values.

    Raises
    ------
    BadValue when both change the same thing, or no limit is known.
    """
    check.number("steps", steps, 2, 2001, "")
    apart((across, down))
    base = down.put(across.put(loadout, across.now), down.now)
    shares = Shares(vehicle, base)
    sides = [_Side(shares, quantity, values_of(quantity, steps)) for quantity in (across, down)]
    rows = [r for r, row in enumerate(shares.rows) if not condition or row.condition in (ALWAYS, condition)]
    judged = [r for r in rows if any(side.knows(r) for side in sides)]
    if not judged:
        raise BadValue("limits", "", "are not known, none of them", "enter one on the page of ratings")
    names = {shares.rows[r].rating_key: shares.rows[r].name for r in judged}
    consumed, binding = _tightest(shares, sides, judged, tuple(names))
    return Sweep(
        across=across,
        down=down,
        across_values=sides[0].values,
        down_values=sides[1].values,
        consumed=consumed,
        binding=binding,
        keys=tuple(names),
        names=tuple(names.values()),
        not_known=tuple(dict.fromkeys(shares.rows[r].name for r in rows if r not in judged)),
    )


class _Side:
    """What one quantity's values do to each rating: `change_kg` (n, R) to its load, `limit_kg` by row to its limit."""

    def __init__(self, shares: Shares, quantity: Quantity, values: np.ndarray) -> None:
        import numpy as np

        self.values = values
        self._plain = shares.limit_kg
        changes = np.array([_change_kg(shares, quantity, knot) for knot in quantity.knots])
        self.change_kg = np.array([np.interp(values, quantity.knots, row) for row in changes.T]).T
        self.limit_kg: dict[int, np.ndarray] = {}
        if quantity.limits is not None:
            found = [quantity.limits(value) for value in values.tolist()]
            for key in found[0]:
                limits = [np.nan if limit[key] is None else limit[key] for limit in found]
                self.limit_kg[shares.row[key]] = np.array(limits)

    def knows(self, row: int) -> bool:
        """Whether a rating has a limit at any of the values."""
        import numpy as np

        return bool(np.isfinite(self.limit_kg.get(row, self._plain[row])).any())


def _change_kg(shares: Shares, quantity: Quantity, value: float) -> np.ndarray:
    """What one value adds to each rating [kg]: the share matrix times the masses that it changes."""
    base = shares.loadout
    there = masses(shares.vehicle, quantity.put(base, value))
    if [_stands(mass) for mass in there] == [_stands(mass) for mass in shares.masses]:
        changed: np.ndarray = shares.matrix @ ([mass.mass_kg for mass in there] - shares.mass_kg)
        return changed
    other = Shares(shares.vehicle, quantity.put(base, value))  # somebody came along or stayed: other columns
    found: np.ndarray = other.matrix @ other.mass_kg - shares.matrix @ shares.mass_kg
    return found


def _stands(mass: Mass) -> tuple[object, ...]:
    return mass.key, mass.kind, mass.place, mass.zone


def _tightest(
    shares: Shares, sides: list[_Side], judged: list[int], keys: tuple[str, ...]
) -> tuple[np.ndarray, np.ndarray]:
    """Go through the ratings and keep the tightest at every pair of values."""
    import numpy as np

    across, down = sides
    now = shares.matrix @ shares.mass_kg
    consumed = np.full((len(down.values), len(across.values)), -np.inf)
    binding = np.zeros(consumed.shape, dtype=np.intp)
    for row in judged:
        loads = (now[row] + across.change_kg[:, row])[None, :] + down.change_kg[:, row, None]
        share = _over(loads, _limit_kg(shares, across, down, row))
        tighter = share > consumed  # never where the limit is not known
        np.copyto(consumed, share, where=tighter)
        binding[tighter] = keys.index(shares.rows[row].rating_key)
    return consumed, binding


def _limit_kg(shares: Shares, across: _Side, down: _Side, row: int) -> np.ndarray | float:
    if row in across.limit_kg:
        return across.limit_kg[row][None, :]
    if row in down.limit_kg:
        return down.limit_kg[row][:, None]
    return float(shares.limit_kg[row])


def _over(loads: np.ndarray, limit_kg: np.ndarray | float) -> np.ndarray:
    """Load over limit; nothing on a limit of zero is 0, anything is infinite."""
    import numpy as np

    with np.errstate(divide="ignore", invalid="ignore"):
        found: np.ndarray = loads / limit_kg
    return (
        found
        if np.all(limit_kg)
        else np.where(limit_kg == 0, np.where(loads > NOTHING_KG, np.inf, 0.0), found)
    )


def tried(loadout: Loadout, settings: dict[Quantity, float]) -> Loadout:
    """The loadout with several quantities set at once.

    Parameters
    ----------
    loadout : as it is; settings : what each quantity is set to.

    Raises
    ------
    BadValue when two of them change the same thing, or a value is out of range.
    """
    apart(settings)
    for quantity, value in settings.items():
        checked = quantity.checked(value)
        if checked != quantity.now:
            loadout = quantity.put(loadout, round(checked) if quantity.whole else checked)
    return loadout
