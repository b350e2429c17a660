"""Which rating is tightest, and where is it over? A map over two quantities."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from textwrap import wrap
from typing import Any

import numpy as np

from loadcalc.model.quantities import Units
from loadcalc.plan.lever import Quantity
from loadcalc.plan.sweep import Sweep
from workbook.panels.desk.html_text import clipped, escape
from workbook.panels.desk.palette import ALARM_STEPS, DARK, FONT, LOAD_STEPS, MARKS, PAPER, ROLES
from workbook.panels.what_if.what_if_words import map_words, scale_of

TITLE = "Which rating is tightest, and where is it over?"
SUBTITLE = (
    f"Bold line: 100% of the tightest rating; beyond it ({MARKS['over']}) it is over. "
    "Dotted: another rating takes over. Cross: the sliders."
)
HOVER = "%{x:.3g}, %{y:.3g}: %{z:.0%} of the tightest rating<extra></extra>"
HIGH_PX = 440
HIGHEST = 2.0  # colors and lines end here; "none allowed" is infinitely over
LINES = (0.5, 1.5, 0.1)
PLOT_PX = (480, 380)  # the map itself where it has little room; wider, a name has more around it
ROOM_PX = 22  # from a name's middle to its region's border; a smaller region is named in the words alone
# Steps of color, in shares of the limit: within it the load's tint and blue, beyond it the alarm's tint.
# Steps of color, in shares of the limit.
BANDS = tuple(zip((0.0, 0.6, 0.8, 0.9, 1.0, 1.2, 1.5), (*LOAD_STEPS, *ALARM_STEPS), strict=True))
CROSS = 5  # the trace that stands where the sliders do


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingLabel:
    """A rating's name where it binds: in the axes' units, and in parts of the map's width and height."""

    x: float
    y: float
    text: str
    over: bool
    across: float
    up: float


def colors() -> list[list[Any]]:
    """The bands as a stepped color scale from 0 to HIGHEST."""
    ends = [*(start for start, _ in BANDS[1:]), HIGHEST]
    scale = []
    for (start, color), end in zip(BANDS, ends, strict=True):
        scale += [[start / HIGHEST, color], [end / HIGHEST, color]]
    return scale


def sides(found: Sweep, units: Units) -> tuple[np.ndarray, np.ndarray]:
    """The values of both quantities in the reader's units."""
    across, down = scale_of(found.across, units), scale_of(found.down, units)
    return found.across_values / across.si_per_unit, found.down_values / down.si_per_unit


def edges(kinds: np.ndarray, x: np.ndarray, y: np.ndarray) -> tuple[list[float | None], list[float | None]]:
    """The border between cells of different kinds, as one broken line."""
    xs: list[float | None] = []
    ys: list[float | None] = []
    at_x, at_y = borders(x), borders(y)
    for i, j in np.argwhere(kinds[:, 1:] != kinds[:, :-1]).tolist():
        xs += [at_x[j + 1], at_x[j + 1], None]
        ys += [at_y[i], at_y[i + 1], None]
    for i, j in np.argwhere(kinds[1:] != kinds[:-1]).tolist():
        xs += [at_x[j], at_x[j + 1], None]
        ys += [at_y[i + 1], at_y[i + 1], None]
    return xs, ys


def borders(values: np.ndarray) -> list[float]:
    """Where one value's cell ends and the next begins: half way."""
    half = np.diff(values) / 2
    made: list[float] = [
        float(values[0] - half[0]),
        *(values[:-1] + half).tolist(),
        float(values[-1] + half[-1]),
    ]
    return made


def labels(found: Sweep, units: Units) -> list[RatingLabel]:
    """A name for each region of one rating, over and within apart, where there is most room for it."""
    from scipy.ndimage import distance_transform_edt

    x, y = sides(found, units)
    cell_px = (PLOT_PX[1] / len(y), PLOT_PX[0] / len(x))
    made = []
    for number in np.unique(found.binding).tolist():
        for over in (False, True):
            mine = (found.binding == number) & (found.over == over)
            deep = distance_transform_edt(np.pad(mine, 1), sampling=cell_px)[1:-1, 1:-1]
            if deep.max() >= ROOM_PX:
                i, j = np.unravel_index(int(deep.argmax()), deep.shape)
                name = found.names[number].partition(" (")[0].removeprefix("Zone: ")
                text = "<br>".join(map(escape, wrap(clipped(name), 22)))
                made.append(
                    RatingLabel(
                        x=float(x[j]), y=float(y[i]), text=f"{MARKS['over']} {text}" if over else text, over=over,
                        across=(j + 0.5) / len(x), up=(i + 0.5) / len(y),
                    )
                )  # fmt: skip
    return made


def anchors(label: RatingLabel) -> dict[str, str]:
    """A name near an edge stays inside of it."""
    x = "left" if label.across < 0.1 else "right" if label.across > 0.9 else "center"
    y = "bottom" if label.up < 0.06 else "top" if label.up > 0.94 else "middle"
    return {"xanchor": x, "yanchor": y}


def title_of(quantity: Quantity, units: Units) -> str:
    """An axis's title: the quantity and its unit."""
    unit = scale_of(quantity, units).unit
    return quantity.name if quantity.measure == "people" else f"{quantity.name}, {unit}"


def packed(values: np.ndarray) -> dict[str, str]:
    """A table of numbers as Plotly reads it out of JSON: base64 of four bytes a number."""
    rows, columns = values.shape
    data = base64.b64encode(values.astype("<f4").tobytes()).decode()
    return {"dtype": "f4", "bdata": data, "shape": f"{rows}, {columns}"}


def traces(found: Sweep, at: tuple[float, float], units: Units) -> list[dict[str, Any]]:
    """What is drawn: bands of color, their lines, the bold line at 100%, borders of regions, and the cross."""
    x, y = sides(found, units)
    grid = {"x": x.tolist(), "y": y.tolist(), "z": packed(np.minimum(found.consumed, HIGHEST))}
    smooth = not (found.across.whole or found.down.whole)
    line_x, line_y = ([], []) if smooth else edges(found.over, x, y)
    other_x, other_y = edges(found.binding, x, y)
    line = {"type": "scatter", "mode": "lines", "hoverinfo": "skip"}
    cross = {"symbol": "cross-thin", "size": 20, "line": {"width": 3, "color": ROLES["ink"]}}
    return [
        {"type": "heatmap", "colorscale": colors(), "zmin": 0, "zmax": HIGHEST, "showscale": False,
         "hovertemplate": HOVER, **grid},
        {**contour(*LINES, color=ROLES["quiet"], width=0.8), **grid, "visible": smooth},
        {**contour(1.0, 1.0, 1.0, color=ROLES["limit"], width=3.0), **grid, "visible": smooth},
        {**line, "line": {"color": ROLES["limit"], "width": 3}, "x": line_x, "y": line_y},
        {**line, "line": {"color": ROLES["ink"], "width": 1.4, "dash": "dot"}, "x": other_x, "y": other_y},
        {"type": "scatter", "mode": "markers", "marker": cross, "hoverinfo": "skip", "cliponaxis": False,
         **cross_of(found, at, units)},
    ]  # fmt: skip


def contour(start: float, end: float, size: float, *, color: str, width: float) -> dict[str, Any]:
    """Lines of equal share of the limit, with their percentage."""
    return {
        "type": "contour", "showscale": False, "hoverinfo": "skip", "line": {"color": color, "width": width},
        "contours": {
            "coloring": "none", "showlabels": True, "start": start, "end": end, "size": size, "labelformat": ".0%",
            "labelfont": {"size": 12, "color": ROLES["ink"]},
        },
    }  # fmt: skip


def notes(found: Sweep, units: Units) -> list[dict[str, Any]]:
    """The names of the regions."""
    return [
        {
            "x": label.x, "y": label.y, "text": label.text, "showarrow": False, "bgcolor": PAPER, "opacity": 0.92,
            "borderpad": 3, "font": {"size": 13, "color": ROLES["alarm" if label.over else "ink"]}, **anchors(label),
        }
        for label in labels(found, units)
    ]  # fmt: skip


def axis(quantity: Quantity, values: np.ndarray, units: Units) -> dict[str, Any]:
    """One side of the map."""
    at = borders(values)
    return {
        "showgrid": False, "zeroline": False, "ticks": "outside", "tickfont": {"color": ROLES["quiet"]},
        "title": {"text": escape(title_of(quantity, units))}, "range": [at[0], at[-1]],
        "dtick": 1 if quantity.whole else None,
    }  # fmt: skip


def cross_of(found: Sweep, at: tuple[float, float], units: Units) -> dict[str, list[float]]:
    """Where the sliders stand, in the reader's units."""
    return {
        "x": [scale_of(found.across, units).value(at[0])],
        "y": [scale_of(found.down, units).value(at[1])],
    }


def figure(found: Sweep, at: tuple[float, float], units: Units) -> dict[str, Any]:
    """Make the map as plain data for the widget (workbook/widgets/chart/).

    at : where the sliders stand, in SI.
    """
    x, y = sides(found, units)
    layout = {
        "height": HIGH_PX, "showlegend": False, "paper_bgcolor": PAPER, "plot_bgcolor": PAPER,
        "font": {"family": FONT, "size": 14, "color": ROLES["ink"]}, "margin": {"l": 72, "r": 16, "t": 4, "b": 56},
        "title": {"text": TITLE, "subtitle": {"text": escape(SUBTITLE), "font": {"color": ROLES["quiet"]}}},
        "xaxis": axis(found.across, x, units), "yaxis": axis(found.down, y, units), "annotations": notes(found, units),
        "uirevision": f"{found.across.key} {found.down.key} {units.name}",  # a zoom stays while the sides stay
    }  # fmt: skip
    return {"data": traces(found, at, units), "layout": layout, "dark": DARK}


def label(found: Sweep, units: Units) -> str:
    """The map for people who can't see it: its question, and how much of it is within."""
    return f"{TITLE} {map_words(found, units).partition(chr(10))[0]}"
