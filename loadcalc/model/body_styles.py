"""Body styles in plain words, and what is usual of each: where a vehicle's measures are assumed from.

All of it is common practice without a source, from memory of what such vehicles measure; the margins are wide enough
to be true of nearly all. `tests/model/test_assume.py` holds what public data sets can say of it.
"""

from __future__ import annotations

from dataclasses import dataclass

NO_SOURCE = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """What is usual of one body style.

    width_m, height_m : of the body, each give or take `size_share` of it.
    front_share : of the curb mass on the front axle, give or take `split` [-]. tank_l : give or take half of it [L].
    rows : how far behind the front axle each row of seats sits, front to back, as a share of the wheelbase [-].
    load : the same of the front and the rear of the cargo floor or bed; roof : of the middle of the roof.
    spread : how far off each of these places may be, as a share of the wheelbase [-].
    """

    width_m: float
    height_m: float
    size_share: float = 0.12
    front_share: float
    split: float
    tank_l: float
    rows: tuple[float, float, float]
    load: tuple[float, float]
    roof: float
    spread: float


# fmt: off
STYLES = {
    "": Style(
        width_m=1.90, height_m=1.80, size_share=0.25, front_share=0.56, split=0.10, tank_l=70.0,
        rows=(0.46, 0.76, 1.05), load=(0.98, 1.16), roof=0.68, spread=0.18,
    ),
    "wagon": Style(
        width_m=1.90, height_m=1.80, front_share=0.54, split=0.08, tank_l=75.0,
        rows=(0.48, 0.79, 1.08), load=(0.98, 1.16), roof=0.70, spread=0.12,
    ),
    "pickup with bed": Style(
        width_m=1.98, height_m=1.90, front_share=0.57, split=0.08, tank_l=95.0,
        rows=(0.43, 0.68, 0.90), load=(0.88, 1.14), roof=0.52, spread=0.12,
    ),
    "van": Style(
        width_m=1.98, height_m=2.10, size_share=0.25, front_share=0.54, split=0.08, tank_l=80.0,
        rows=(0.38, 0.70, 1.00), load=(0.85, 1.10), roof=0.68, spread=0.16,
    ),
    "small crossover": Style(
        width_m=1.84, height_m=1.67, front_share=0.58, split=0.07, tank_l=55.0,
        rows=(0.50, 0.80, 1.08), load=(1.00, 1.13), roof=0.70, spread=0.10,
    ),
}
# fmt: on
BODY_STYLES = tuple(STYLES)

SIDES = {"left": 1.0, "center": 0.0, "right": -1.0}
ROWS = ("front", "second row", "third row")
SEAT_SPOTS = tuple(f"{row} {side}" for row in ROWS for side in SIDES)
ZONE_SPOTS = ("front footwell", "second row", "second row footwell", "front of load", "rear of load", "roof")
SPOTS = ("", *SEAT_SPOTS, *ZONE_SPOTS)  # which part of a usual vehicle a seat or zone is


def style_words(style: str) -> str:
    """How a body style reads inside a rule: "a wagon", or that nobody has said."""
    return f"a {style}" if style else "any body (its style is not entered)"
