"""Two tires against their axle's rating, and the spare against what it may have to replace."""

from __future__ import annotations

from dataclasses import dataclass

from loadcalc.checks.balance import Wheels
from loadcalc.checks.tires.marked import tire_limit
from loadcalc.model import check
from loadcalc.model.limits import Limit
from loadcalc.model.vehicle import Tire

TIRES_ON_AN_AXLE = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class AxleTires:
    """The tires of one axle against its rating.

    tires_kg : what they carry together [kg]; rating_kg : the axle's rating [kg]; None where not known.
    """

    tires_kg: float | None
    rating_kg: float | None

    @property
    def room_kg(self) -> float | None:
        """Tires minus rating [kg]; below zero the tires, not the axle, are the limit. None when not known."""
        if self.tires_kg is None or self.rating_kg is None:
            return None
        return self.tires_kg - self.rating_kg

    @property
    def enough(self) -> bool | None:
        """Whether the tires carry what the axle is rated for; None when not known."""
        return None if self.room_kg is None else self.room_kg >= -1e-9


def axle_tire_sum(tire: Tire, body_class: str, axle_limit: Limit, tires: int = TIRES_ON_AN_AXLE) -> AxleTires:
    """What the tires of one axle carry together, against the axle's rating.

    Parameters
    ----------
    tire : one of the axle's tires, all alike
    body_class : "passenger car" or "light truck"
    axle_limit : the axle's rating [kg]
    tires : how many, 2 to 4 [-]

    Returns
    -------
    AxleTires: both sums [kg], their difference, and whether it is enough

    Raises
    ------
    BadValue: a number of tires outside 2 to 4, or what `tire_capacity_kg` refuses

    Notes
    -----
    Formula: tires · load of one, at the pressure marked for it, no less than the axle's rating
    Source: FMVSS 120 (49 CFR 571.120) S5.1.2, quoted in NHTSA interpretation nht76-1.47
    Status: published; the load of one by `tire_capacity_kg`

    Examples
    --------
    Two of index 110, passenger-marked, on a light truck: 2 · 1060 / 1.10 (tests/reference/tire_derate.csv).

    >>> axle = axle_tire_sum(Tire(load_index=110), "light truck", Limit(limit_kg=1900.0))
    >>> round(axle.tires_kg, 1), axle.enough
    (1927.3, True)
    """
    check.number("tires on the axle", tires, 2, 4, "")
    one_kg = tire_limit(tire, body_class).limit_kg
    return AxleTires(tires_kg=None if one_kg is None else tires * one_kg, rating_kg=axle_limit.limit_kg)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpareVerdict:
    """The spare at one axle.

    axle : "front" or "rear"; spare_kg : what it carries; tire_kg : what the tire it would replace carries;
    load_kg : today's heavier wheel there, None without a load [kg]; None where not known.
    """

    axle: str
    spare_kg: float | None
    tire_kg: float | None
    load_kg: float | None

    @property
    def carries_load(self) -> bool | None:
        """Whether the spare carries today's load of that wheel; None when not known."""
        if self.spare_kg is None or self.load_kg is None:
            return None
        return self.load_kg <= self.spare_kg * (1 + 1e-9)

    @property
    def as_good(self) -> bool | None:
        """Whether the spare carries what the tire it replaces does; None when not known."""
        if self.spare_kg is None or self.tire_kg is None:
            return None
        return self.spare_kg >= self.tire_kg * (1 - 1e-9)


def spare_verdict(
    spare: Tire | None, front: Tire, rear: Tire, body_class: str, wheels_kg: Wheels | None = None
) -> tuple[SpareVerdict, SpareVerdict]:
    """The spare against each tire that it may have to replace, and against today's heavier wheel of each axle.

    By load index alone: size, rolling radius, speed, and age of the spare are for the owner to judge.

    Parameters
    ----------
    spare : None when nothing is known of it; front, rear : the tires on the axles.
    body_class : "passenger car" or "light truck"; wheels_kg : wheel loads today [kg], or None.

    Returns
    -------
    (front, rear): SpareVerdict [kg].

    >>> like = Tire(load_index=110)
    >>> spare_verdict(Tire(load_index=100), like, like, "light truck")[0].as_good
    False
    """
    spare_kg = None if spare is None else tire_limit(spare, body_class).limit_kg
    loads = (None, None) if wheels_kg is None else (max(wheels_kg[:2]), max(wheels_kg[2:]))
    at_front, at_rear = (
        SpareVerdict(
            axle=axle, spare_kg=spare_kg, tire_kg=tire_limit(tire, body_class).limit_kg, load_kg=load_kg
        )
        for axle, tire, load_kg in zip(("front", "rear"), (front, rear), loads, strict=True)
    )
    return at_front, at_rear
