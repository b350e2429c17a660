"""What nobody entered of a vehicle, its seats, zones, and rack: filled in by the rules, and said to be assumed.

A season keeps only what was entered. Each time a record is built, what lacks is assumed from the rest by
:mod:`loadcalc.model.assume`; so entering a measure ends an assumption, and taking it back brings the assumption back.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from loadcalc.model import Limit, assume
from loadcalc.model.assumption import Assumption
from loadcalc.model.body_styles import BODY_STYLES, NO_SOURCE, STYLES
from loadcalc.season.file.present import Fields

NOT_ENTERED = "not entered"
DRAWN_M = {"wheelbase_m": 2.8, "length_m": 0.45, "width_m": 1.1, "height_m": 0.4}  # for the drawing only
DRAWN_KG = 2000.0
RACK_M = {"length_m": 1.4, "width_m": 1.2, "height_m": 0.08}  # for the drawing only
AXES = ("aft_m", "left_m", "up_m")


class Completed(NamedTuple):
    """The fields of one record with nothing lacking, and which of them are assumed."""

    fields: Fields
    assumed: tuple[Assumption, ...]


class Footing(NamedTuple):
    """What the places of seats and zones are assumed from."""

    style: str
    wheelbase_m: float
    height_m: float
    known: bool


class _Filling:
    """Fields that are being filled in."""

    def __init__(self, fields: Fields) -> None:
        self.fields = dict(fields)
        self.assumed: dict[str, Assumption] = {}

    def put(self, measure: str, guess: assume.Guess, *, known: bool = True) -> None:
        """Assume a measure unless it is there; not `known`: what it is taken from isn't, so neither is this."""
        if measure not in self.fields:
            rule = guess.rule if known else NOT_ENTERED
            self.fields[measure] = guess.value
            self.assumed[measure] = Assumption(
                measure=measure, rule=rule, plus_minus=guess.plus_minus if known else None
            )

    def draw(self, measure: str, value: float) -> None:
        """Put a number for the drawing unless the measure is there."""
        self.put(measure, assume.Guess(value, 0.0, NOT_ENTERED), known=False)

    def known(self, measure: str) -> bool:
        """Whether a measure is there, or assumed from something."""
        found = self.assumed.get(measure)
        return found is None or found.plus_minus is not None

    def value(self, measure: str) -> tuple[float, float]:
        """A measure and its half-width."""
        found = self.assumed.get(measure)
        return float(self.fields[measure]), (found and found.plus_minus) or 0.0

    def done(self) -> Completed:
        """What came of it."""
        return Completed(self.fields, tuple(self.assumed.values()))


def completed_vehicle(fields: Fields, limits: Mapping[str, Limit], least_tank_l: float = 0.0) -> Completed:
    """Fill in what nobody entered of the vehicle itself.

    Parameters
    ----------
    fields : what is kept of it; limits : its ratings' limits, for the curb mass.
    least_tank_l : fuel that some departure has in its tank, so that it holds as much [L].
    """
    filling, style = _Filling(fields), _style(fields)
    filling.fields.setdefault("name", "My vehicle")
    _outside(filling, style)
    _curb(filling, style, limits)
    _tank(filling, style, least_tank_l)
    return filling.done()


def _outside(filling: _Filling, style: str) -> None:
    """Wheelbase, outline, tracks."""
    filling.draw("wheelbase_m", DRAWN_M["wheelbase_m"])
    filling.put("width_m", assume.width_m(style), known=bool(style))
    filling.put("height_m", assume.height_m(style), known=bool(style))
    filling.put("length_m", assume.length_m(filling.value("wheelbase_m")), known=filling.known("wheelbase_m"))
    overhang = assume.front_overhang_m(filling.value("length_m"))
    filling.put("front_overhang_m", overhang, known=filling.known("length_m"))
    for axle in ("front", "rear"):
        guess = assume.track_m(filling.value("width_m"))
        filling.put(f"{axle}_track_m", guess, known=filling.known("width_m"))


def _curb(filling: _Filling, style: str, limits: Mapping[str, Limit]) -> None:
    """The curb mass and its center of gravity."""
    gross_kg, placard_kg = (limits.get(key, Limit()).limit_kg for key in ("gross", "placard"))
    if gross_kg and (guess := assume.curb_kg(gross_kg, placard_kg)).value > 2 * guess.plus_minus > 0:
        filling.put("curb_kg", guess)
    filling.draw("curb_kg", DRAWN_KG)
    wheelbase_m = float(filling.fields["wheelbase_m"])
    filling.put("curb_aft_m", assume.curb_aft_m(style, wheelbase_m), known=filling.known("wheelbase_m"))
    filling.put("curb_up_m", assume.center_up_m(filling.value("height_m")), known=filling.known("height_m"))
    for measure, source in (("curb_kg", "curb_from"), ("curb_up_m", "cg_height_from")):
        if found := filling.assumed.get(measure):
            filling.fields[source] = f"assumed: {found.rule}" if filling.known(measure) else NOT_ENTERED


def _tank(filling: _Filling, style: str, least_l: float) -> None:
    """The fuel tank, and the fuel in it when the curb mass was read."""
    guess = assume.tank_l(style)
    holds_l = max(guess.value, least_l, float(filling.fields.get("curb_fuel_l", 0.0)))
    filling.put("tank_capacity_l", guess._replace(value=holds_l))
    rule = f"fuel not said to be either: {NO_SOURCE}"
    fuel = assume.Guess(assume.FUEL_KG_PER_L, assume.FUEL_SPREAD_KG_PER_L, rule)
    filling.put("tank_density_kg_per_l", fuel)
    full_l, off_l = filling.value("tank_capacity_l")
    filling.put("curb_fuel_l", assume.curb_fuel_l((full_l, off_l)))
    tank = assume.tank_aft_m(float(filling.fields["wheelbase_m"]))
    filling.put("tank_aft_m", tank, known=filling.known("wheelbase_m"))
    filling.draw("tank_up_m", 0.5)


def footing_of(vehicle: Completed) -> Footing:
    """What the places of its seats and zones are assumed from.

    Parameters
    ----------
    vehicle : as :func:`completed_vehicle` gives it.
    """
    fields = vehicle.fields
    known = all(one.plus_minus is not None for one in vehicle.assumed if one.measure == "wheelbase_m")
    return Footing(_style(fields), float(fields["wheelbase_m"]), float(fields["height_m"]), known)


def lacks(fields: Fields) -> bool:
    """Whether a seat or zone of a usual vehicle has a place that nobody has measured whole.

    Parameters
    ----------
    fields : what is kept of it.
    """
    return bool(fields.get("spot")) and not all(axis in fields for axis in AXES)


def completed_spot(fields: Fields, footing: Footing, *, sized: bool) -> Completed:
    """Fill in the place of a usual seat or zone, and a size for the drawing.

    Parameters
    ----------
    fields : what is kept of it; footing : of its vehicle; sized : whether it is something with a size.
    """
    filling, spot = _Filling(fields), str(fields["spot"])
    filling.put("aft_m", assume.spot_aft_m(spot, footing.style, footing.wheelbase_m), known=footing.known)
    filling.put("left_m", assume.spot_left_m(spot))
    filling.put("up_m", assume.spot_up_m(spot, footing.height_m))
    for side in ("length_m", "width_m", "height_m") if sized else ():
        filling.draw(side, DRAWN_M[side])
    return filling.done()


def completed_rack(fields: Fields, footing: Footing) -> Completed:
    """Fill in where the rack or platform lies on the roof, and a size for the drawing.

    Parameters
    ----------
    fields : what is kept of it; footing : of its vehicle.
    """
    filling = _Filling(fields)
    filling.put("aft_m", assume.spot_aft_m("roof", footing.style, footing.wheelbase_m), known=footing.known)
    filling.put("up_m", assume.spot_up_m("roof", footing.height_m))
    for side, value in RACK_M.items():
        filling.draw(side, value)
    return filling.done()


def _style(fields: Fields) -> str:
    style = str(fields.get("body_style", ""))
    return style if style in BODY_STYLES and style in STYLES else ""
