"""Places and sizes. The axes are words; docs/axes.md holds the one drawing.

aft_m  meters behind the front axle line (ahead of it: below zero)
left_m meters left of the center line (right of it: below zero)
up_m   meters above the ground
"""

from __future__ import annotations

from dataclasses import dataclass

from loadcalc.model import check


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A point on the vehicle: aft [m], left [m], up [m]."""

    aft_m: float
    left_m: float = 0.0
    up_m: float

    def __post_init__(self) -> None:
        check.number("aft", self.aft_m, -5.0, 20.0, "m")
        check.number("left", self.left_m, -3.0, 3.0, "m")
        check.number("up", self.up_m, 0.0, 5.0, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """Outside measures of a box: length (fore and aft), width, height [m]."""

    length_m: float
    width_m: float
    height_m: float

    def __post_init__(self) -> None:
        for field in ("length_m", "width_m", "height_m"):
            check.number(field.removesuffix("_m"), getattr(self, field), 0.0, 20.0, "m")

    @property
    def volume_l(self) -> float:
        """Volume of the box [L]."""
        return 1000.0 * self.length_m * self.width_m * self.height_m
