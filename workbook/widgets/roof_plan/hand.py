"""What a hand does on the plan of the carrier, as the browser tells it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

KINDS = ("move", "nudge", "turn", "pin", "off", "put", "cancel", "undo")
MOST_STEPS = 1000


@dataclass(frozen=True, kw_only=True, slots=True)
class Hand:
    """One thing that a hand did.

    kind "move": the box `key` is held with its middle at `aft_m`, `left_m`; `resting` once it was let go.
    kind "nudge": it was pushed by whole steps, `along` toward the rear, `across` toward the left; `fine` or not.
    kind "turn", "pin", "off" (off the plan), "put" (onto it, where there is room), "cancel" (the drag that was going
    on), "undo" (no box).
    """

    kind: str
    key: str = ""
    aft_m: float = 0.0
    left_m: float = 0.0
    resting: bool = True
    along: int = 0
    across: int = 0
    fine: bool = False


def read(content: Mapping[str, Any], known: set[str]) -> list[Hand]:
    """Read the hands of one message in their order; what makes no sense, or names no box that is there, is left out."""
    return [hand for raw in content.get("hands", []) if (hand := _one(raw, known)) is not None]


def _one(raw: Any, known: set[str]) -> Hand | None:
    if not isinstance(raw, Mapping) or raw.get("kind") not in KINDS:
        return None
    kind, key = str(raw["kind"]), str(raw.get("key", ""))
    if kind != "undo" and key not in known:
        return None
    try:
        aft_m, left_m = float(raw.get("aft_m", 0.0)), float(raw.get("left_m", 0.0))
        along, across = int(raw.get("along", 0)), int(raw.get("across", 0))
    except (TypeError, ValueError, OverflowError):
        return None
    if not (math.isfinite(aft_m) and math.isfinite(left_m)) or max(abs(along), abs(across)) > MOST_STEPS:
        return None
    return Hand(
        kind=kind, key=key, aft_m=aft_m, left_m=left_m, resting=bool(raw.get("resting", True)), along=along,
        across=across, fine=bool(raw.get("fine", False)),
    )  # fmt: skip
