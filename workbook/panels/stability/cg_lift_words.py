"""What the axle-lift panel says: the fit in sentences, the lifts as rows, and how a tilt is read."""

from __future__ import annotations

from collections.abc import Sequence

from loadcalc.checks.balance import axle_loads
from loadcalc.checks.weighing.axle_lift import LARGEST_DEG, AxleLift, lift_angle_deg, lifted_axle_kg
from loadcalc.checks.weighing.cg_height import HeightFit, LiftDoubts
from loadcalc.checks.weighing.scales import rectangular_u
from loadcalc.model import Vehicle
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units
from workbook.panels.desk.dials import amount

LIFT_CAUTION = (
    "A lifted vehicle can roll or fall, and kill. Read this first.\n"
    "This is work for a workshop with a vehicle lift, and for people who do it for a living. Nobody under it, nobody "
    "in it, nobody between it and a wall, at any time. Hard, level floor. Chocks on both sides of every wheel that "
    "stays down, set before the brake is let off. Stands that are rated for the load, under the raised axle at every "
    "step: never on a jack alone. (common practice, no source)"
)
HOW = (
    "Vehicle as its curb mass was weighed: empty, the same fuel, nothing on the roof; suspension blocked, gear in "
    "neutral, and the brake off only when the chocks are set.",
    "Weigh the whole vehicle, and measure from the ground to the middle of a hub. Until you type yours, the boxes show "
    "what stands in the records. Scale division: the smallest step the scale shows.",
    "Put one axle on the scale and write down what it shows with the vehicle level.",
    "Raise the other axle in steps, then lower it again. At each step write down what the scale shows and the tilt: in "
    "degrees, or how far the lifted wheel centers rose. At least three raised readings, one of them over 15°.",
)
EXAMPLE_CURE = "type what your scale and level showed over each of them, or take the example away"
EXAMPLE = (
    "Invented readings stand in the table, so this height is not your vehicle's and cannot be accepted: "
    f"{EXAMPLE_CURE}."
)
HEADS = ("Reading", "On the scale", "Tilt", "Scale shows", "Off the line")


def read_tilt_deg(text: str, units: Units, wheelbase_m: float, where: str = "") -> float:
    """A tilt as typed: degrees ("16.2", "16.2°"), or the rise of the lifted wheel centers ("31 in", "0,8 m")."""
    body = text.strip().casefold()
    for word in ("degrees", "degree", "deg", "°"):
        body = body.removesuffix(word).strip()
    try:
        degrees = float(body.replace(",", "."))
    except ValueError:
        rise_m = amount("length", text, units, "rise", where=where)
        return lift_angle_deg(rise_m=rise_m, wheelbase_m=wheelbase_m)
    if not 0 <= degrees <= LARGEST_DEG:
        cure = "give degrees, or the rise with its unit"
        raise BadValue("tilt", text, f"is outside 0 to {LARGEST_DEG:g} degrees", cure, where)
    return degrees


def doubts_of(division_kg: float, angle_deg: float) -> LiftDoubts:
    """Standard uncertainties from the scale division and the angle's plus or minus, both rectangular."""
    reading = rectangular_u(division_kg)
    return LiftDoubts(reading_kg=reading, angle_deg=rectangular_u(angle_deg), mass_kg=2 * reading)


def lift_rows(fit: HeightFit, units: Units) -> list[tuple[str, ...]]:
    """Each reading with how far it lies off the fitted line."""
    return [
        (
            str(number),
            f"{lift.on_scale} axle",
            f"{lift.angle_deg:.1f}°",
            units.mass(lift.axle_kg, grouped=True),
            units.mass_change(residual),
        )
        for number, (lift, residual) in enumerate(zip(fit.lifts, fit.residuals_kg, strict=True), start=1)
    ]


def fit_words(fit: HeightFit, vehicle: Vehicle, units: Units) -> str:
    """The height with its plus or minus, how well the readings lie on a line, and what stands in the records now."""
    steepest = max(lift.angle_deg for lift in fit.lifts)
    lead = f"Center of gravity {units.length(fit.up_m)} above the ground, ± {units.length(fit.plus_minus_m)}"
    said = [
        f"{lead} (about 95%), from {len(fit.lifts)} readings up to {steepest:.1f}°.",
        "Axle lift finds it to a few percent at best (ISO 10392:2011, scope): this ± is of the readings, not of a "
        "suspension that gives.",
    ]
    scatter = f"The readings scatter by {units.mass(fit.scatter_kg)} about the line"
    if fit.rough:
        explained = f"more than scale and angles explain ({units.mass(fit.expected_kg)})"
        said.append(f"{scatter}, {explained}: something moved or was misread.")
    else:
        said.append(f"{scatter}; scale and angles alone explain {units.mass(fit.expected_kg)}.")
    rise_m = fit.up_m - vehicle.curb_cg.up_m
    where = vehicle.cg_height_from or "nobody said from where"
    change = (
        "as now"
        if abs(rise_m) < 5e-4
        else f"{units.length(abs(rise_m))} {'higher' if rise_m > 0 else 'lower'} than now"
    )
    said.append(f"In the records: {units.length(vehicle.curb_cg.up_m)} ({where}); this is {change}.")
    return "\n".join(said)


def height_from(fit: HeightFit, units: Units, day: str) -> str:
    """What is written down as where the height came from."""
    steepest = max(lift.angle_deg for lift in fit.lifts)
    rough = ", rough" if fit.rough else ""
    return f"axle lift {day}: {len(fit.lifts)} readings to {steepest:.1f}°, ± {units.length(fit.plus_minus_m)}{rough}"


def example_lifts(vehicle: Vehicle, radius_m: float) -> list[AxleLift]:
    """Invented readings for trying the panel out: what this vehicle would show, up and down, each a little off."""
    front_kg, _ = axle_loads(vehicle.curb_kg, aft_m=vehicle.curb_cg.aft_m, wheelbase_m=vehicle.wheelbase_m)
    steps: Sequence[tuple[float, float]] = (
        (0.0, 2.0), (5.4, -4.0), (10.6, 3.0), (16.2, -2.0), (10.6, 5.0), (5.4, -3.0), (0.0, -1.0),
    )  # fmt: skip
    return [
        AxleLift(
            on_scale="front",
            angle_deg=angle,
            axle_kg=off_kg
            + lifted_axle_kg(
                front_kg,
                mass_kg=vehicle.curb_kg,
                up_m=vehicle.curb_cg.up_m,
                radius_m=radius_m,
                wheelbase_m=vehicle.wheelbase_m,
                angle_deg=angle,
            ),
        )
        for angle, off_kg in steps
    ]
