"""What a chart costs a kernel until it can be shown: ours, and plotly's own widget, against a bare widget.

Each in a fresh interpreter, in turns, imports included.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

from tests.bench.timing import ratio, spread, verdict

ROOT = Path(__file__).resolve().parents[2]
DRAWN = "{'data': [{'type': 'bar', 'x': [1, 2], 'y': [3, 4]}], 'layout': {}}"
PROGRAMS = {
    "bare widget": "import anywidget; anywidget.AnyWidget()",
    "chart of ours": f"from workbook.widgets.chart.chart import Chart; Chart({DRAWN}, 'Bars')",
    "FigureWidget": f"import plotly.graph_objects as go; go.FigureWidget({DRAWN})",
}
ROUNDS, WARM_UP = 10, 1
TIMES_BARE = 1.2


def lines() -> Iterator[str]:
    """The part's lines of text."""
    times: dict[str, list[float]] = {name: [] for name in PROGRAMS}
    for turn in range(WARM_UP + ROUNDS):
        for name, program in PROGRAMS.items():
            start = perf_counter()
            subprocess.run([sys.executable, "-c", program], cwd=ROOT, check=True)
            if turn >= WARM_UP:
                times[name].append(perf_counter() - start)

    yield f"\nChart: {ROUNDS} fresh interpreters each, in turns"
    for name, found in times.items():
        yield f"  {name:31} {spread([second * 1e3 for second in found]).text()} ms"
    ours, theirs = (ratio(times[name], times["bare widget"]) for name in ("chart of ours", "FigureWidget"))
    met = verdict(ours.median <= TIMES_BARE)
    yield f"  time of a bare widget           {ours.text()} times; goal at most {TIMES_BARE:g}: {met}"
    yield f"  FigureWidget                    {theirs.text()} times (no goal)"
