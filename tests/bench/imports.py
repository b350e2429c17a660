"""`import loadcalc` in a fresh interpreter against a bare one.

Both without the start-up files of installed packages (`-I -S`), which would load part of the standard library
for either and hide what the import costs.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

from tests.bench.timing import ratio, spread, verdict

ROOT = Path(__file__).resolve().parents[2]
FIND = f"import sys; sys.path.insert(0, {str(ROOT)!r})"
PROGRAMS = {
    "bare": FIND,
    "import": f"{FIND}; import loadcalc",
    "records": f"{FIND}; from loadcalc import Item",
}
ROUNDS, WARM_UP = 40, 3
TIMES_BARE = 3.0


def lines() -> Iterator[str]:
    """The part's lines of text."""
    times: dict[str, list[float]] = {name: [] for name in PROGRAMS}
    for turn in range(WARM_UP + ROUNDS):
        for name, program in PROGRAMS.items():
            taken = _seconds(program)
            if turn >= WARM_UP:
                times[name].append(taken)

    yield f"\nImport: {ROUNDS} fresh interpreters each, in turns"
    ms = {name: spread([second * 1e3 for second in found]).text() for name, found in times.items()}
    yield f"  bare Python                     {ms['bare']} ms"
    yield f"  import loadcalc                 {ms['import']} ms"
    over = ratio(times["import"], times["bare"])
    yield (
        f"  time of bare Python             {over.text()} times; goal at most {TIMES_BARE:g}: "
        f"{verdict(over.median <= TIMES_BARE)}"
    )
    records = ratio(times["records"], times["bare"])
    yield f"  from loadcalc import Item       {ms['records']} ms, {records.text()} times (no goal)"


def _seconds(program: str) -> float:
    start = perf_counter()
    subprocess.run([sys.executable, "-I", "-S", "-c", program], check=True)
    return perf_counter() - start
