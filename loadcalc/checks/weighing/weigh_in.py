"""A weighbridge ticket against what the lists predict: do they agree, and where may the unexplained kilos sit?

Every mass on board has a doubt, and so has every reading. Where readings and lists differ, the difference is shared out
by least squares, weighted by how each is known: the same as a Gaussian update. What is well known moves
little; what nobody weighed moves most. A ticket by axle or by wheel says more than a total.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from loadcalc.checks.ratings.share import Shares
from loadcalc.checks.weighing.against_ratings import HeldReading, readings_against_ratings
from loadcalc.checks.weighing.doubts import Doubts
from loadcalc.checks.weighing.scales import COVERAGE
from loadcalc.checks.weighing.suspects import CURB, SPLITS, UNLISTED, Suspect, Unknown, unknowns
from loadcalc.checks.weighing.ticket import READINGS, Gap, Ticket, as_weighed, ticket_gaps
from loadcalc.model.loadout import Loadout
from loadcalc.model.space import Place
from loadcalc.model.vehicle import Vehicle

if TYPE_CHECKING:
    import numpy as np


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One reading beside its prediction. All [kg]; u is a standard uncertainty.

    predicted_u_kg : of the lists as they stand, as if they held everything. That something unlisted rides along is not
    part of it: else nothing could ever disagree.
    """

    key: str
    name: str
    predicted_kg: float
    predicted_u_kg: float
    measured_kg: float
    measured_u_kg: float

    @property
    def difference_kg(self) -> float:
        """Measured minus predicted [kg]: above zero the scale shows more than the lists."""
        return self.measured_kg - self.predicted_kg

    @property
    def plus_minus_kg(self) -> float:
        """How far the two may differ by their doubts alone, about 95 % (k = 2) [kg]."""
        return COVERAGE * float((self.predicted_u_kg**2 + self.measured_u_kg**2) ** 0.5)

    @property
    def agrees(self) -> bool:
        """Whether the difference is within what the doubts explain."""
        return abs(self.difference_kg) <= self.plus_minus_kg


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighIn:
    """A ticket judged.

    held : what the ticket shows beside the ratings that limit it: first of all, whatever the lists say.
    readings : each beside its prediction. suspects : where the difference most likely sits, largest first.
    unexplained_kg : what the update adds to the lists in all [kg]; left_to_scale_kg : what it leaves to the scale's
    error in the first reading [kg]. gaps : sums on the ticket that don't come out; look at those first.
    """

    ticket: Ticket
    held: tuple[HeldReading, ...]
    readings: tuple[Compared, ...]
    suspects: tuple[Suspect, ...]
    left_to_scale_kg: float
    gaps: tuple[Gap, ...] = ()

    @property
    def agrees(self) -> bool:
        """Whether every reading agrees with its prediction."""
        return all(reading.agrees for reading in self.readings)

    @property
    def unexplained_kg(self) -> float:
        """What least squares adds to the lists, all suspects together [kg]."""
        return sum(suspect.shift_kg for suspect in self.suspects if suspect.kind not in SPLITS)

    def suspect(self, key: str) -> Suspect | None:
        """The suspect of that key, or None."""
        return next((suspect for suspect in self.suspects if suspect.key == key), None)


def judge_weigh_in(
    vehicle: Vehicle, loadout: Loadout, ticket: Ticket, doubts: Doubts | None = None
) -> WeighIn:
    """Hold a ticket against the ratings, then against the lists, and share out what these don't explain.

    With readings y, prediction f, unknown shifts x of prior covariance P, their effect H on the readings, and the
    readings' covariance V:  x = P Hᵀ (H P Hᵀ + V)⁻¹ (y - f),  covariance P - P Hᵀ (H P Hᵀ + V)⁻¹ H P.
    That is generalized least squares with the lists as earlier readings. One scale used several times puts its
    error into every reading alike (GUM 5.2.2), so V is not diagonal.

    Parameters
    ----------
    vehicle, loadout : as the season has them; ticket : what the scale showed; doubts : half-widths, None for defaults.

    Returns
    -------
    WeighIn: readings against ratings and lists, suspects [kg], sums that don't come out.

    Raises
    ------
    BadValue for a ticket that cannot be true. A disagreement is a result, never an error.
    """
    import numpy as np

    keys = list(ticket.readings_kg)
    predicted, guesses, effect, prior = _model(vehicle, as_weighed(vehicle, loadout, ticket), keys, doubts)
    measured = np.array([ticket.readings_kg[key] for key in keys])
    noise = ticket.scale.covariance(measured.tolist())
    shift, posterior, to_scale = gaussian_update(effect, prior, noise, measured - predicted)
    return WeighIn(
        ticket=ticket,
        held=readings_against_ratings(vehicle, loadout, ticket),
        readings=_compared(keys, predicted, _listed_u_kg(guesses, effect, prior), measured, noise),
        suspects=_ranked(guesses, shift, np.sqrt(np.maximum(np.diag(posterior), 0.0))),
        left_to_scale_kg=float(to_scale[0]),
        gaps=ticket_gaps(ticket),
    )


def _model(
    vehicle: Vehicle, loadout: Loadout, keys: list[str], doubts: Doubts | None
) -> tuple[np.ndarray, list[Unknown], np.ndarray, np.ndarray]:
    """Predicted readings [kg], what may be wrong in them, its effect on each reading [-], its variances [kg²]."""
    import numpy as np

    shares = Shares(vehicle, loadout)
    rows = [shares.row[READINGS[key][1]] for key in keys]
    guesses = unknowns(shares, rows, doubts or Doubts())
    effect = np.array([guess.effect for guess in guesses]).reshape(len(guesses), len(keys)).T
    prior = np.array([guess.u_kg**2 for guess in guesses])
    return shares.loads_kg(shares.mass_kg)[rows], guesses, effect, prior


def expected_readings(
    vehicle: Vehicle, loadout: Loadout, doubts: Doubts | None = None
) -> dict[str, tuple[float, float]]:
    """What each kind of reading should show, before anybody drives to a scale.

    Parameters
    ----------
    vehicle, loadout : as the season has them, the trailer left off; doubts : half-widths, None for the defaults.

    Returns
    -------
    dict: by the keys of READINGS, the prediction and its standard uncertainty [kg].
    """
    keys = list(READINGS)
    predicted, guesses, effect, prior = _model(vehicle, replace(loadout, trailer=None), keys, doubts)
    u_kg = _listed_u_kg(guesses, effect, prior)
    return {key: (float(predicted[i]), float(u_kg[i])) for i, key in enumerate(keys)}


def _listed_u_kg(guesses: list[Unknown], effect: np.ndarray, prior: np.ndarray) -> np.ndarray:
    """Doubt of what the lists say, if they hold everything: that something unlisted rides along is left out."""
    import numpy as np

    listed = np.array([guess.kind != UNLISTED for guess in guesses], dtype=bool)
    return np.sqrt((effect**2 * np.where(listed, prior, 0.0)).sum(axis=1))


def gaussian_update(
    effect: np.ndarray, prior: np.ndarray, noise: np.ndarray, difference: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Share out a difference between readings and prediction over what is not well known.

    The same as least squares with what is known before as earlier readings.

    Parameters
    ----------
    effect : H (readings, unknowns), what one kilogram of an unknown adds to a reading [-]
    prior : P (unknowns,), variances before [kg²]
    noise : V (readings, readings), covariance of the readings [kg²]
    difference : d (readings,), measured minus predicted [kg]

    Returns
    -------
    tuple: likely shifts [kg], covariance that is left [kg²], likely error of each reading [kg]

    Notes
    -----
    Formula: x = P Hᵀ (H P Hᵀ + V)⁻¹ d; left: P − P Hᵀ (H P Hᵀ + V)⁻¹ H P
    Range: H P Hᵀ + V of full rank
    Source: generalized least squares, a Gaussian posterior
    Status: computed

    Examples
    --------
    By hand: a scale as good as the list halves the difference with it.

    >>> import numpy as np
    >>> one = np.array([[1.0]])
    >>> shift, left, error = gaussian_update(one, np.array([4.0]), 4.0 * one, np.array([10.0]))
    >>> shift.tolist(), left.tolist(), error.tolist()
    ([5.0], [[2.0]], [5.0])
    """
    import numpy as np

    carried = prior[:, None] * effect.T
    together = effect @ carried + noise
    solved = np.linalg.solve(together, difference)
    shift = carried @ solved
    covariance = np.diag(prior) - carried @ np.linalg.solve(together, carried.T)
    return shift, covariance, noise @ solved


def _compared(
    keys: list[str], predicted: np.ndarray, listed_u_kg: np.ndarray, measured: np.ndarray, noise: np.ndarray
) -> tuple[Compared, ...]:
    return tuple(
        Compared(
            key=key,
            name=READINGS[key][0],
            predicted_kg=float(predicted[i]),
            predicted_u_kg=float(listed_u_kg[i]),
            measured_kg=float(measured[i]),
            measured_u_kg=float(noise[i, i] ** 0.5),
        )
        for i, key in enumerate(keys)
    )


def _ranked(guesses: list[Unknown], shift: np.ndarray, left: np.ndarray) -> tuple[Suspect, ...]:
    found = (
        Suspect(
            key=guess.key,
            kind=guess.kind,
            name=guess.name,
            zone=guess.zone,
            listed_kg=guess.listed_kg,
            doubt_kg=guess.u_kg,
            shift_kg=float(shift[i]),
            left_kg=float(left[i]),
        )
        for i, guess in enumerate(guesses)
    )
    return tuple(sorted(found, key=lambda suspect: (-abs(suspect.shift_kg), suspect.key)))


def corrected_curb(vehicle: Vehicle, weigh_in: WeighIn, shift_kg: float | None = None) -> tuple[float, Place]:
    """The curb mass and its center as a weigh-in would have them.

    The most likely change of the curb mass goes on where the empty vehicle's mass acts; what the axles say of its
    division moves the center fore and aft. Its height and its offset sideways stay.

    Parameters
    ----------
    vehicle : as it is now; weigh_in : judged on it.
    shift_kg : how much to correct the curb mass by [kg]; None takes the most likely change.

    Returns
    -------
    (curb mass [kg], center of gravity [m]).
    """
    curb = next((suspect for suspect in weigh_in.suspects if suspect.kind == CURB), None)
    likely_kg = curb.shift_kg if curb else 0.0
    curb_kg = vehicle.curb_kg + (likely_kg if shift_kg is None else shift_kg)
    split = weigh_in.suspect("split:curb")
    now, rearward_kg = vehicle.curb_cg, split.shift_kg if split else 0.0
    aft_m = now.aft_m + rearward_kg * vehicle.wheelbase_m / curb_kg
    return curb_kg, Place(aft_m=aft_m, left_m=now.left_m, up_m=now.up_m)
