"""The roof carrier with its bars and tie points, and the trailer behind the hitch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from loadcalc.model import check
from loadcalc.model.assumption import Assumption
from loadcalc.model.errors import BadValue
from loadcalc.model.limits import CARRIER_LIMITS, TRAILER_LIMITS, UNKNOWN, Limit, Limits
from loadcalc.model.space import Place, Size

HEAVIEST_CARRIER_KG = 500.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A bar that the carrier stands on, across the roof, with a foot at each end.

    aft_m : where it lies, behind the front axle line [m]; half_span_m : from the center line to a foot [m].
    limit : of the whole bar; foot_limit : of one foot.
    """

    name: str
    aft_m: float
    half_span_m: float
    limit: Limit = UNKNOWN
    foot_limit: Limit = UNKNOWN

    def __post_init__(self) -> None:
        check.name("bar name", self.name)
        check.number("aft", self.aft_m, -5.0, 20.0, "m", self.name)
        check.number("half span", self.half_span_m, 0.1, 1.5, "m", self.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class TiePoint:
    """A place on the carrier that a strap is hooked to: aft [m], left [m], and its working load limit."""

    name: str
    aft_m: float
    left_m: float
    limit: Limit = UNKNOWN

    def __post_init__(self) -> None:
        check.name("tie point name", self.name)
        check.number("aft", self.aft_m, -5.0, 20.0, "m", self.name)
        check.number("left", self.left_m, -3.0, 3.0, "m", self.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Carrier:
    """The rack or platform on the roof: own mass [kg], place of its own CG, size [m], limits by key.

    bars : what it stands on; tie_points : what straps are hooked to. Both may be empty: not entered.
    slats : how many lie across it, evenly, for the drawing; 0: nobody counted them.
    assumed : what of its place and size nobody entered.
    """

    name: str
    mass_kg: float
    place: Place
    size: Size
    limits: Mapping[str, Limit] = field(default_factory=dict)
    bars: tuple[Bar, ...] = ()
    tie_points: tuple[TiePoint, ...] = ()
    slats: int = 0
    assumed: tuple[Assumption, ...] = ()

    def __post_init__(self) -> None:
        check.name("roof rack name", self.name)
        check.number("slats", self.slats, 0, 100, "", self.name)
        check.number("roof rack mass", self.mass_kg, 0.0, HEAVIEST_CARRIER_KG, "kg", self.name)
        object.__setattr__(self, "limits", Limits(self.limits, CARRIER_LIMITS, self.name))
        object.__setattr__(self, "bars", tuple(sorted(self.bars, key=lambda bar: bar.aft_m)))
        object.__setattr__(self, "tie_points", tuple(self.tie_points))
        check.unique("bar", (bar.name for bar in self.bars), self.name)
        check.unique("tie point", (point.name for point in self.tie_points), self.name)

    def limit(self, key: str) -> Limit:
        """Return the limit of a carrier rating, UNKNOWN when none was entered."""
        return self.limits.get(key, UNKNOWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trailer:
    """A trailer as it is loaded for this departure.

    mass_kg : all of it, with its load [kg]; tongue_kg : what it puts on the hitch, standing level [kg].
    axles : 1 or 2. axles_share : True when a linkage (equalizer, walking beam) makes two share the load alike.
    front_axle_kg, rear_axle_kg : of two, each as a scale showed it, hitched and level [kg]; None: not weighed.
    limits : by key, see TRAILER_LIMITS.
    """

    name: str
    mass_kg: float
    tongue_kg: float
    axles: int = 1
    axles_share: bool = False
    front_axle_kg: float | None = None
    rear_axle_kg: float | None = None
    limits: Mapping[str, Limit] = field(default_factory=dict)

    def __post_init__(self) -> None:
        check.name("trailer name", self.name)
        check.number("trailer mass", self.mass_kg, 0.0, 20_000.0, "kg", self.name)
        check.number("tongue weight", self.tongue_kg, 0.0, 5_000.0, "kg", self.name)
        if self.tongue_kg > self.mass_kg:
            problem = f"kg is more than the trailer's {self.mass_kg:g} kg"
            raise BadValue("tongue weight", self.tongue_kg, problem, "weigh both again", self.name)
        if self.axles not in (1, 2):
            raise BadValue("axles", self.axles, "is not one or two", "more are not judged here", self.name)
        for word in ("front", "rear"):
            kg = getattr(self, f"{word}_axle_kg")
            if kg is not None:
                check.number(f"{word} axle as weighed", kg, 0.0, 20_000.0, "kg", self.name)
        object.__setattr__(self, "limits", Limits(self.limits, TRAILER_LIMITS, self.name))

    @property
    def weighed_axles_kg(self) -> tuple[float, float] | None:
        """What a scale showed of its two axles, front first [kg]; None when they are not both weighed."""
        front, rear = self.front_axle_kg, self.rear_axle_kg
        return (
            None if self.axles == 1 or front is None or rear is None or front + rear <= 0 else (front, rear)
        )

    @property
    def axle_shares(self) -> tuple[float, ...]:
        """How much of what stands on its wheels each axle carries, front first [-]; () when nobody knows.

        Three supports (ball and two axles) are one too many for statics: only a linkage or a scale tells.
        """
        if self.axles == 1:
            return (1.0,)
        if self.weighed_axles_kg is not None:
            front, rear = self.weighed_axles_kg
            return (front / (front + rear), rear / (front + rear))
        return (0.5, 0.5) if self.axles_share else ()

    def limit(self, key: str) -> Limit:
        """Return the limit of a trailer rating, UNKNOWN when none was entered."""
        return self.limits.get(key, UNKNOWN)
