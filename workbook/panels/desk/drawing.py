"""A few SVG strokes to scale, as text. Every word that a person typed is escaped here."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from workbook.panels.desk.html_text import clipped, escape
from workbook.panels.desk.palette import DARK, FONT, PAPER, ROLES


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where metres land on the page: pixels for each metre, and the pixel of (0, 0).

    The front is on the left of the page in both views. So in the side view heights go up the page
    (`grows_down` False), and in the plan, seen from above, the driver's left goes down it (True).
    """

    px_per_m: float
    across_px: float
    down_px: float
    grows_down: bool = False

    def across(self, aft_m: float) -> float:
        """Pixel across the page of a distance aft [m]."""
        return self.across_px + aft_m * self.px_per_m

    def down(self, value_m: float) -> float:
        """Pixel down the page of a height above ground, or a distance left of center [m]."""
        return self.down_px + (value_m if self.grows_down else -value_m) * self.px_per_m


def words(
    x: float,
    y: float,
    text: str,
    *,
    size: int = 12,
    color: str = ROLES["ink"],
    anchor: str = "middle",
    bold: bool = False,
) -> str:
    """One line of text, with a rim of paper so that a stroke behind it does not cross it out.

    A long word is cut; the pointer shows it whole.
    """
    weight = ' font-weight="600"' if bold else ""
    cut = clipped(text)
    whole = f"<title>{escape(text)}</title>" if cut != text else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" fill="{color}" text-anchor="{anchor}"{weight} '
        f'paint-order="stroke" stroke="{PAPER}" stroke-width="3" stroke-linejoin="round">'
        f"{whole}{escape(cut)}</text>"
    )


def box(
    x: float,
    y: float,
    width: float,
    height: float,
    *,
    fill: str,
    stroke: str,
    round_px: float = 2,
    dashed: bool = False,
    opacity: float = 0.8,
) -> str:
    """A rectangle by its upper left corner; `opacity` 1 hides what is behind it."""
    dash = ' stroke-dasharray="4 3"' if dashed else ""
    return (
        f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" rx="{round_px}" '
        f'fill="{fill}" fill-opacity="{opacity:g}" stroke="{stroke}" stroke-width="1.3"{dash}/>'
    )


def line(
    points: Iterable[tuple[float, float]],
    *,
    color: str = ROLES["ink"],
    width: float = 1.5,
    closed: bool = False,
    dashed: bool = False,
) -> str:
    """A run of straight strokes."""
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    dash = ' stroke-dasharray="4 3"' if dashed else ""
    shape = "polygon" if closed else "polyline"
    look = f'fill="none" stroke="{color}" stroke-width="{width}" stroke-linejoin="round"{dash}'
    return f'<{shape} points="{path}" {look}/>'


def disc(
    x: float, y: float, radius: float, *, fill: str, stroke: str = ROLES["ink"], width: float = 1.5
) -> str:
    """A circle."""
    look = f'fill="{fill}" stroke="{stroke}" stroke-width="{width}"'
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" {look}/>'


def page(width: float, height: float, label: str, strokes: Iterable[str]) -> str:
    """Wrap strokes into one picture with a label that a screen reader reads; its colors follow the theme."""
    return _themed(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" role="img" '
        f'aria-label="{escape(label)}" style="width:100%;max-width:{width:.0f}px;background:{PAPER};'
        f'font-family:{escape(FONT)};font-variant-numeric:tabular-nums">{"".join(strokes)}</svg>'
    )


def _themed(svg: str) -> str:
    """Each color of the palette becomes a variable that the dark theme sets (`DARK_STYLE`); elsewhere it is itself."""
    return _COLORS.sub(lambda found: f"var({variable(found[0])},{found[0]})", svg)


def variable(color: str) -> str:
    """The name under which a page may set another color in the place of this one."""
    return f"--loadout-{color.removeprefix('#')}"


_COLORS = re.compile("|".join(DARK))
_DARK_SET = ";".join(f"{variable(color)}:{dark}" for color, dark in DARK.items())
DARK_STYLE = f'<style>@media screen{{[data-jp-theme-light="false"]{{{_DARK_SET}}}}}</style>'
