"""The vehicle as it stands empty: masses, measures, seats, fuel tank, tires and rating limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from loadcalc.model import check
from loadcalc.model.assumption import Assumption, not_known
from loadcalc.model.body_styles import BODY_STYLES, SPOTS
from loadcalc.model.errors import BadValue
from loadcalc.model.limits import UNKNOWN, VEHICLE_LIMITS, Limit, Limits
from loadcalc.model.space import Place, Size

TIRE_MARKINGS = ("passenger", "light truck")
LOAD_INDEXES = (50, 150)  # the part of the table that several transcriptions agree on
BODY_CLASSES = ("passenger car", "light truck")


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """One designated seating position and where its occupant's mass acts.

    spot : which seat of a usual vehicle it is (SPOTS), from which its place is assumed while nobody has measured it.
    assumed : what of its place nobody entered.
    """

    name: str
    place: Place
    spot: str = ""
    assumed: tuple[Assumption, ...] = ()

    def __post_init__(self) -> None:
        check.name("seat name", self.name)
        check.one_of("spot", self.spot, SPOTS, self.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class FuelTank:
    """The vehicle's own tank: capacity [L], fuel density [kg/L], place of its center."""

    capacity_l: float
    density_kg_per_l: float
    place: Place

    def __post_init__(self) -> None:
        check.number("fuel tank", self.capacity_l, 0.0, 1000.0, "L")
        check.number("fuel density", self.density_kg_per_l, 0.05, 1.2, "kg/L")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tire:
    """What one axle's tires are marked with.

    load_index : the number before the speed letter, 50 to 150 [-], or None when not known.
    marking : "passenger" (no LT mark) or "light truck" (LT, C).
    reference_kpa : cold pressure at which the load index holds [kPa], or None when not known.
    placard_kpa : cold pressure on the vehicle's tire placard [kPa], or None when not known.
    pressure_table : the maker's printed loads, as (pressure [kPa], load [kg]) with rising pressure; may be empty.
    """

    load_index: int | None = None
    marking: str = "passenger"
    read_at: str = ""
    reference_kpa: float | None = None
    placard_kpa: float | None = None
    pressure_table: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        for name in ("reference_kpa", "placard_kpa"):
            if getattr(self, name) is not None:
                check.number(
                    f"{name.removesuffix('_kpa')} pressure", getattr(self, name), 50.0, 1000.0, "kPa"
                )
        rows = tuple((float(kpa), float(kg)) for kpa, kg in self.pressure_table)
        object.__setattr__(self, "pressure_table", rows)
        for kpa, kg in rows:
            check.number("pressure in the load table", kpa, 50.0, 1000.0, "kPa")
            check.number("load in the load table", kg, 0.0, 20_000.0, "kg")
        if any(now[0] >= later[0] or now[1] > later[1] for now, later in pairwise(rows)):
            raise BadValue("load table", rows, "does not rise", "give pressures from low to high, each once")
        check.one_of("tire marking", self.marking, TIRE_MARKINGS)
        if self.load_index is not None:
            check.number("load index", self.load_index, *LOAD_INDEXES, "")
            if self.load_index != int(self.load_index):
                raise BadValue(
                    "load index", self.load_index, "is not a whole number", "read the sidewall again"
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Vehicle:
    """The vehicle without people, gear, or carrier.

    curb_kg : mass as weighed or as the maker gives it [kg], with `curb_fuel_l` in its tank.
    curb_plus_minus_kg : half-width of that mass's doubt [kg]; 0: nobody said.
    curb_cg : center of gravity at that mass (aft, left, up) [m].
    cg_height_from : where the height in `curb_cg` came from; it is the least known number of all.
    wheelbase_m, front_track_m, rear_track_m : [m].
    outline : overall length, width, height [m]; `front_overhang_m` ahead of the front axle [m].
    front_roll_share : share of the body's roll stiffness at the front axle, 0 to 1 [-]. Statics fixes
        the axle sums and the sideways moment; how that moment splits between the axles is this input.
    body_class : "light truck" takes in pickups, vans, and multipurpose vehicles; it decides
        whether a passenger-marked tire's load is divided by 1.10.
    body_style : one of BODY_STYLES in plain words, "" when nobody has said; measures may be assumed from it.
    assumed : the measures that nobody entered: by which rule they are assumed, or that they are not known.
    seats_from : where the number of seats was read; with usual seats and no such word it is not known.
    spare_tire : None when nothing is known of it; hitch : the ball or pin, None when there is no hitch.
    limits : rating limits by key, see VEHICLE_LIMITS; a missing key is a limit that is not known.
    """

    name: str
    curb_kg: float
    curb_cg: Place
    curb_from: str = ""
    curb_plus_minus_kg: float = 0.0
    curb_fuel_l: float = 0.0
    cg_height_from: str = ""
    wheelbase_m: float
    front_track_m: float
    rear_track_m: float
    outline: Size
    front_overhang_m: float
    tire_diameter_m: float = 0.75
    front_roll_share: float = 0.5
    body_class: str = "light truck"
    body_style: str = ""
    tank: FuelTank
    seats: tuple[Seat, ...]
    seats_from: str = ""
    front_tire: Tire = Tire()
    rear_tire: Tire = Tire()
    spare_tire: Tire | None = None
    hitch: Place | None = None
    limits: Mapping[str, Limit] = field(default_factory=dict)
    assumed: tuple[Assumption, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "seats", tuple(self.seats))
        object.__setattr__(self, "limits", Limits(self.limits, VEHICLE_LIMITS))
        check.name("vehicle name", self.name)
        check.number("curb mass", self.curb_kg, 200.0, 20_000.0, "kg")
        check.number("curb mass, plus or minus", self.curb_plus_minus_kg, 0.0, 1000.0, "kg")
        check.number("wheelbase", self.wheelbase_m, 1.0, 10.0, "m")
        check.number("front track", self.front_track_m, 0.8, 3.0, "m")
        check.number("rear track", self.rear_track_m, 0.8, 3.0, "m")
        check.number("curb CG, aft", self.curb_cg.aft_m, 0.0, self.wheelbase_m, "m (between the axles)")
        check.number("overall length", self.outline.length_m, 1.0, 20.0, "m")
        check.number("overall width", self.outline.width_m, 0.5, 4.0, "m")
        check.number("overall height", self.outline.height_m, 0.5, 5.0, "m")
        check.number("front overhang", self.front_overhang_m, 0.0, 3.0, "m")
        check.number("tire diameter", self.tire_diameter_m, 0.3, 1.5, "m")
        check.number("front share of roll stiffness", self.front_roll_share, 0.0, 1.0, "")
        check.number("fuel in the tank at curb mass", self.curb_fuel_l, 0.0, self.tank.capacity_l, "L")
        check.one_of("body class", self.body_class, BODY_CLASSES)
        check.one_of("body style", self.body_style, BODY_STYLES)
        check.unique("seat", (seat.name for seat in self.seats))

    def limit(self, key: str) -> Limit:
        """Return the limit of a rating, UNKNOWN when none was entered."""
        return self.limits.get(key, UNKNOWN)

    def not_known(self, *measures: str) -> tuple[str, ...]:
        """Which of these measures nobody knows: nothing that rests on them may be judged."""
        return not_known(self.assumed, *measures)


def cg_from_axles(
    *, front_kg: float, rear_kg: float, wheelbase_m: float, up_m: float, left_m: float = 0.0
) -> Place:
    """Center of gravity from the two axle loads on level ground.

    Parameters
    ----------
    front_kg : front axle as weighed [kg]
    rear_kg : rear axle as weighed [kg]
    wheelbase_m : between the axles [m]
    up_m : height of the center [m]
    left_m : how far left of the center line it lies [m]

    Returns
    -------
    Place: aft = rear / (front + rear) * wheelbase [m]; moments about the front axle line.

    Raises
    ------
    BadValue: an axle outside 0 to 20 t, a wheelbase outside 1 to 10 m, or loads that add up to nothing
    """
    check.number("front axle, empty", front_kg, 0.0, 20_000.0, "kg")
    check.number("rear axle, empty", rear_kg, 0.0, 20_000.0, "kg")
    check.number("wheelbase", wheelbase_m, 1.0, 10.0, "m")
    if front_kg + rear_kg == 0:
        raise BadValue("axle loads", 0, "kg add up to nothing", "enter what the scale showed")
    return Place(aft_m=rear_kg / (front_kg + rear_kg) * wheelbase_m, left_m=left_m, up_m=up_m)
