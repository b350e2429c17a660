"""`python3 -m tests.bench`: measure all parts, or the ones named: `python3 -m tests.bench season decade`.

Like `tests/__main__.py`, this file keeps to syntax that any Python 3 reads.
"""

import os
import platform
import sys
from importlib import import_module

from workbook.launcher.oldpython import require_python

PARTS = (
    "evaluation", "batch", "season", "decade", "imports", "charts", "opening", "repaint", "doubt", "advice", "roof",
)  # fmt: skip
# read when numpy is first imported
ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


def main() -> int:
    """Go into `.venv` and print every wanted part. Returns 0 always: a missed goal is no failure."""
    require_python()
    from workbook.launcher.environment import enter

    enter("tests.bench", with_tests=True)
    os.environ.update(dict.fromkeys(ONE_THREAD, "1"))
    wanted = sys.argv[1:] or PARTS
    for name in wanted:
        if name not in PARTS:
            print(f"There is no part {name}; the parts are: {', '.join(PARTS)}.")
    machine = f"{platform.machine()}, {os.cpu_count()} processors"
    print(
        f"Python {platform.python_version()}, {machine}, 1 BLAS thread. Medians (middle half of the rounds)."
    )
    for name in wanted:
        if name in PARTS:
            for line in import_module(f"tests.bench.{name}").lines():
                print(line, flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
