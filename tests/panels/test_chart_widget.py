"""The chart widget without a browser: the file that draws it, and what is sent."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Any

import plotly

from tests.season_help import ROOT
from workbook.panels.desk import palette
from workbook.widgets.chart.chart import BUNDLE, BUNDLE_VERSION, DRAWN_TRACES, Chart

FILE = ROOT / "workbook" / "launcher" / "labextensions" / BUNDLE
FIGURE: dict[str, Any] = {"data": [{"type": "bar", "x": [1, 2], "y": [3, 4]}], "layout": {"height": 200}}


def written(field: str) -> str:
    """What the note beside the bundle says."""
    note = FILE.with_name("plotly-cartesian.source.txt").read_text(encoding="utf-8")
    found = re.search(rf"^{field}: (\S+)$", note, re.MULTILINE)
    assert found, field
    return found[1]


def test_the_bundle_is_the_file_that_was_published() -> None:
    """Not a byte differs from what the note names, and its license lies beside it."""
    assert hashlib.sha256(FILE.read_bytes()).hexdigest() == written("sha256")
    assert FILE.with_name("plotly-cartesian.LICENSE").read_text(encoding="utf-8").startswith("MIT License")


def test_the_bundle_suits_the_plotly_that_is_pinned() -> None:
    """A figure of plotly's Python is drawn by the version of plotly.js that it was made for."""
    whole = Path(plotly.__file__).parent / "package_data" / "plotly.min.js"
    head = [path.read_bytes()[:200].decode() for path in (FILE, whole)]
    assert [re.findall(r"v(\d+\.\d+\.\d+)", text) for text in head] == [[BUNDLE_VERSION]] * 2
    assert written("version") == BUNDLE_VERSION
    assert BUNDLE_VERSION in written("package")


def test_the_traces_that_are_promised_are_in_the_bundle() -> None:
    """No more and no fewer."""
    found = re.findall(r'moduleType:"trace",name:"(\w+)"', FILE.read_text(encoding="utf-8"))
    assert set(found) == DRAWN_TRACES


def test_a_state_is_sent_once() -> None:
    """Drawing what is shown already sends nothing; figure and label change together."""
    chart = Chart(FIGURE, "How much? Four.")
    sent: list[dict[str, object]] = []
    chart.observe(lambda change: sent.append(change["new"]), "_shown")
    chart.draw({"data": [dict(FIGURE["data"][0])], "layout": {"height": 200}}, "How much? Four.")
    assert sent == []
    other = {"data": [], "layout": {"height": 100}}
    chart.draw(other, "How much? Nothing.")
    assert sent == [{"figure": other, "label": "How much? Nothing."}]
    assert (chart.figure, chart.label) == (other, "How much? Nothing.")


def test_a_trace_that_moves_takes_nothing_else_along() -> None:
    """A cross follows a slider by its own two numbers, until the next drawing."""
    chart = Chart(FIGURE, "How much? Four.")
    sent: list[str] = []
    chart.observe(lambda change: sent.append(change["name"]), ["_shown", "_moved"])
    chart.move(0, x=[5.0], y=[6.0])
    assert sent == ["_moved"]
    assert chart.figure["data"] == [{"type": "bar", "x": [5.0], "y": [6.0]}]
    assert FIGURE["data"][0]["x"] == [1, 2]
    chart.draw({"data": FIGURE["data"], "layout": {"height": 201}}, "How much? Four.")
    assert chart.figure["data"] == FIGURE["data"]


def luminance(color: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_both_themes_can_be_read() -> None:
    """WCAG 2.2, 1.4.3 and 1.4.11: text has 4.5 to 1 on its page, bars and lines 3 to 1."""
    assert contrast("#000000", "#ffffff") == 21.0
    for roles, paper in ((palette.ROLES, palette.PAPER), (palette.DARK_ROLES, palette.DARK_PAPER)):
        for role in ("ink", "quiet", "alarm"):
            assert contrast(roles[role], paper) >= 4.5, role
        for role in ("load", "limit"):
            assert contrast(roles[role], paper) >= 3.0, role
    steps = [palette.DARK[color] for color in (*palette.LOAD_STEPS, *palette.ALARM_STEPS)]
    assert all(contrast(palette.DARK_ROLES["ink"], step) >= 4.5 for step in steps)
