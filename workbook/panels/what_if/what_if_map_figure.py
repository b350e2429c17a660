"""Which rating is tightest, and where is it over? A map over two quantities, as a live figure."""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import wrap
from typing import TYPE_CHECKING, Any

import numpy as np

from loadcalc.model.quantities import Units
from loadcalc.plan.lever import Quantity
from loadcalc.plan.sweep import Sweep
from workbook.panels.desk.html_text import clipped, escape
from workbook.panels.desk.palette import ALARM_TINT, FONT, LOAD_TINT, MARKS, PAPER, ROLES
from workbook.panels.what_if.what_if_words import scale_of

if TYPE_CHECKING:
    import plotly.graph_objects as go

TITLE = "Which rating is tightest, and where is it over?"
SUBTITLE = (
    f"Bold line: 100% of the tightest rating; beyond it ({MARKS['over']}) it is over. "
    "Dotted: another rating takes over. Cross: the sliders."
)
HOVER = "%{x:.3g}, %{y:.3g}: %{z:.0%} of the tightest rating<extra></extra>"
WIDE_PX, HIGH_PX = 840, 540  # as wide as a cell on a 1280 px screen
HIGHEST = 2.0  # colors and lines end here; "none allowed" is infinitely over
LINES = (0.5, 1.5, 0.1)
PLOT_PX = (736, 388)  # the map itself, without its margins
ROOM_PX = 22  # from a name's middle to its region's border; a smaller region is named in the words alone
# Steps of color, in shares of the limit: within it the load's tint and blue, beyond it the alarm's tint.
BANDS = (
    (0.0, "#f4f7f8"), (0.6, "#e6edf1"), (0.8, LOAD_TINT), (0.9, "#bfd3de"), (1.0, ALARM_TINT), (1.2, "#e6b9ae"),
    (1.5, "#d99483"),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingLabel:
    """A rating's name where it binds: in the axes' units, and in parts of the map's width and height."""

    x: float
    y: float
    text: str
    over: bool
    across: float
    up: float


def colors() -> list[tuple[float, str]]:
    """The bands as a stepped color scale from 0 to HIGHEST."""
    ends = [*(start for start, _ in BANDS[1:]), HIGHEST]
    scale = []
    for (start, color), end in zip(BANDS, ends, strict=True):
        scale += [(start / HIGHEST, color), (end / HIGHEST, color)]
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


def traces(found: Sweep, units: Units) -> list[dict[str, Any]]:
    """The changing part of each trace but the cross, in the order in which `figure` makes them."""
    x, y = sides(found, units)
    held = np.minimum(found.consumed, HIGHEST).astype(np.float32)
    smooth = not (found.across.whole or found.down.whole)
    line_x, line_y = ([], []) if smooth else edges(found.over, x, y)
    other_x, other_y = edges(found.binding, x, y)
    return [
        {"x": x, "y": y, "z": held},
        {"x": x, "y": y, "z": held, "visible": smooth},
        {"x": x, "y": y, "z": held, "visible": smooth},
        {"x": line_x, "y": line_y},
        {"x": other_x, "y": other_y},
    ]


def axes(found: Sweep, units: Units) -> dict[str, Any]:
    """The changing part of the layout."""
    x, y = sides(found, units)
    at_x, at_y = borders(x), borders(y)
    notes = [
        {
            "x": label.x, "y": label.y, "text": label.text, "showarrow": False, "bgcolor": PAPER, "opacity": 0.92,
            "borderpad": 3, "font": {"size": 13, "color": ROLES["alarm" if label.over else "ink"]}, **anchors(label),
        }
        for label in labels(found, units)
    ]  # fmt: skip
    return {
        "annotations": notes,
        "xaxis.title.text": title_of(found.across, units),
        "yaxis.title.text": title_of(found.down, units),
        "xaxis.range": [at_x[0], at_x[-1]],
        "yaxis.range": [at_y[0], at_y[-1]],
        "xaxis.dtick": 1 if found.across.whole else None,
        "yaxis.dtick": 1 if found.down.whole else None,
    }


def figure(found: Sweep, at: tuple[float, float], units: Units, *, live: bool = True) -> go.FigureWidget:
    """Make the map: a FigureWidget for a page, a plain Figure (`live=False`) for a picture.

    at : where the sliders stand, in SI.
    """
    import plotly.graph_objects as go

    heat, lesser, full, full_edge, other = traces(found, units)
    chart = (go.FigureWidget if live else go.Figure)()
    chart.add_heatmap(
        colorscale=colors(), zmin=0, zmax=HIGHEST, showscale=False, hovertemplate=HOVER,
        **heat,
    )  # fmt: skip
    for trace, (start, end, size), color, width in (
        (lesser, LINES, ROLES["quiet"], 0.8), (full, (1.0, 1.0, 1.0), ROLES["limit"], 3.0),
    ):  # fmt: skip
        contours = {
            "coloring": "none", "showlabels": True, "start": start, "end": end, "size": size, "labelformat": ".0%",
            "labelfont": {"size": 12, "color": ROLES["ink"]},
        }  # fmt: skip
        chart.add_contour(
            contours=contours,
            line={"color": color, "width": width},
            hoverinfo="skip",
            showscale=False,
            **trace,
        )
    chart.add_scatter(mode="lines", line={"color": ROLES["limit"], "width": 3}, hoverinfo="skip", **full_edge)
    chart.add_scatter(
        mode="lines", line={"color": ROLES["ink"], "width": 1.4, "dash": "dot"}, hoverinfo="skip", **other
    )
    cross = {"symbol": "cross-thin", "size": 20, "line": {"width": 3, "color": ROLES["ink"]}}
    chart.add_scatter(
        mode="markers", marker=cross, hoverinfo="skip", cliponaxis=False, **cross_of(found, at, units)
    )
    title = (
        f"{TITLE}<br><span style='font-size:13px;color:{ROLES['quiet']}'>{_folded(escape(SUBTITLE))}</span>"
    )
    quiet = {
        "showgrid": False,
        "zeroline": False,
        "fixedrange": True,
        "tickfont": {"color": ROLES["quiet"]},
        "ticks": "outside",
    }
    chart.update_layout(
        width=WIDE_PX, height=HIGH_PX, showlegend=False, dragmode=False, paper_bgcolor=PAPER, plot_bgcolor=PAPER,
        font={"family": FONT, "size": 14, "color": ROLES["ink"]}, margin={"l": 80, "r": 24, "t": 92, "b": 60},
        title={
            "text": title, "x": 0.0, "xref": "container", "pad": {"l": 18, "t": 18}, "y": 0.985, "yanchor": "top",
            "yref": "container", "font": {"size": 20},
        },
        xaxis=quiet, yaxis=quiet,
        modebar={"remove": ["toimage", "zoom", "pan", "select", "lasso", "zoomin", "zoomout", "autoscale", "reset"]},
    )  # fmt: skip
    chart.update_layout(axes(found, units))
    if live:  # the bar's buttons (a link, a logo) lead away from the page; a live figure has no public way to say so
        chart._config = {**(chart._config or {}), "displayModeBar": False}
    return chart


def _folded(text: str) -> str:
    return "<br>".join(wrap(text, 120))


def cross_of(found: Sweep, at: tuple[float, float], units: Units) -> dict[str, list[float]]:
    """Where the sliders stand, in the reader's units."""
    return {
        "x": [scale_of(found.across, units).value(at[0])],
        "y": [scale_of(found.down, units).value(at[1])],
    }


def redraw(chart: go.FigureWidget, found: Sweep, at: tuple[float, float], units: Units) -> None:
    """Bring a live map up to date in one message to the browser."""
    with chart.batch_update():
        for trace, values in zip(
            chart.data, [*traces(found, units), cross_of(found, at, units)], strict=True
        ):
            trace.update(values)
        for key, value in axes(found, units).items():
            chart.layout[key] = value  # an update would keep names of regions that are gone


def move_cross(chart: go.FigureWidget, found: Sweep, at: tuple[float, float], units: Units) -> None:
    """Move the cross alone."""
    with chart.batch_update():
        chart.data[-1].update(cross_of(found, at, units))
