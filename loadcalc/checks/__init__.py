"""Published formulas as plain functions, and the judgment of a loadout against every rating.

    from loadcalc.checks import axle_loads
    front_kg, rear_kg = axle_loads(1765, aft_m=1.22, wheelbase_m=2.84)

The names load when they are first asked for.
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
    from loadcalc.checks.ratings.report import Part, RatingResult, Report, evaluate
    from loadcalc.checks.ratings.share import Shares
else:
    from loadcalc.lazy import lazily

    __all__, __getattr__, __dir__ = lazily(__name__)
