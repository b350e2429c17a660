"""Published formulas as plain functions, and the judgment of a loadout against every rating.

    from loadcalc.checks import axle_loads
    front_kg, rear_kg = axle_loads(1765, aft_m=1.22, wheelbase_m=2.84)

Each says its formula, source, and range; docs/formulas.md lists them all. They load when they are first asked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loadcalc.checks.balance import (
        Wheels,
        axle_loads,
        moment_center,
        placard_room_kg,
        shift_of_center_m,
        wheel_shares,
    )
    from loadcalc.checks.findings.finding import Finding
    from loadcalc.checks.findings.judge import Judgment, evaluate
    from loadcalc.checks.gas import fill_limit
    from loadcalc.checks.height import overall_height
    from loadcalc.checks.hitch import (
        lever_on_axles,
        pull_on_grade,
        tongue_share,
        tongue_verdict,
        trailer_axle_kg,
    )
    from loadcalc.checks.lifting.niosh import (
        Lift,
        frequency_multiplier,
        grip_multiplier,
        lift_multipliers,
        lifting_index,
        recommended_limit_kg,
    )
    from loadcalc.checks.mounts.bars import bar_shares, foot_loads_kg
    from loadcalc.checks.mounts.beam import beam_shares, stiff_shares
    from loadcalc.checks.ratings.report import Part, RatingResult, Report
    from loadcalc.checks.ratings.share import Shares
    from loadcalc.checks.restraint.lashing import (
        aggregate_limit_kg,
        aggregate_needed_kg,
        direct_force_n,
        friction_hold_n,
        pressed_down_n,
        straps_over_needed,
        tie_downs_needed,
        wind_uplift_n,
    )
    from loadcalc.checks.restraint.strapping import asked_by, friction_of, unmarked_webbing_kg, weakest_kg
    from loadcalc.checks.stability.slopes import (
        axle_loads_on_grade,
        four_wheel_loads,
        grade_percent,
        gravity_on_body,
        slope_of,
        tip_margin_deg,
        wheel_loads_on_slope,
    )
    from loadcalc.checks.stability.stance import Stance, static_stability_factor
    from loadcalc.checks.stability.tipping import (
        first_lifts,
        give_taken_off_deg,
        lateral_g_at_tip,
        least_tip_limit,
        tip_angles,
        tip_limit_deg,
    )
    from loadcalc.checks.tires.inflation import capacity_at_kg, pressure_needed_kpa
    from loadcalc.checks.tires.marked import load_index_kg, tire_capacity_kg
    from loadcalc.checks.tires.relations import load_by_power_kg, load_from_table_kg
    from loadcalc.checks.tires.tire_sums import axle_tire_sum
    from loadcalc.checks.weighing.axle_lift import (
        AxleLift,
        height_from_one_lift_m,
        lift_angle_deg,
        lifted_axle_kg,
    )
    from loadcalc.checks.weighing.cg_height import LiftDoubts, coverage_factor, height_from_lifts
    from loadcalc.checks.weighing.corner_weights import cg_from_axle_weights, cg_from_wheel_weights
    from loadcalc.checks.weighing.scales import Scale, quadrature, rectangular_u, tolerance_divisions
    from loadcalc.checks.weighing.weigh_in import gaussian_update
else:
    from loadcalc.lazy import lazily

    __all__, __getattr__, __dir__ = lazily(__name__)
