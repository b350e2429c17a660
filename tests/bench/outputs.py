"""What every way of judging a loadout gives, for telling that they give the same."""

from __future__ import annotations

import math
from dataclasses import dataclass

from loadcalc.checks.ratings.report import Report


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Loads by rating [kg] (axles and wheels among them), total [kg], center (aft, left, up) [m]."""

    loads_kg: dict[str, float]
    mass_kg: float
    center_m: tuple[float, ...]


def of_report(report: Report) -> Outputs:
    """The package's own, by the same keys."""
    keys = (row.key for row in report.shares.rows)
    center_m = (report.cg.aft_m, report.cg.left_m, report.cg.up_m)
    return Outputs(
        loads_kg=dict(zip(keys, report.loads_kg, strict=True)), mass_kg=report.mass_kg, center_m=center_m
    )


def furthest(one: Outputs, other: Outputs) -> float:
    """Largest difference, relative to the total mass or to a meter [-]; a row left out counts as zero."""
    keys = one.loads_kg.keys() | other.loads_kg.keys()
    loads = max(abs(one.loads_kg.get(key, 0.0) - other.loads_kg.get(key, 0.0)) for key in keys)
    centers = max(abs(a - b) for a, b in zip(one.center_m, other.center_m, strict=True))
    apart = max(loads / one.mass_kg, abs(one.mass_kg - other.mass_kg) / one.mass_kg, centers)
    return math.inf if math.isnan(apart) else apart
