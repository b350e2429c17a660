"""`python3 -m tests.fuzz --seconds 60 [--seed 1]`: random files and texts against everything that a season reads.

No input may raise anything but a named error, take more than 2 s of processor time or 500 MB, write anything when it
is refused, or leave a season that a page can't open. Ends with 1 when one did; its input is kept in a temporary folder.
Linux and macOS (memory is bounded on Linux only). Like `tests/__main__.py`, this file keeps to syntax that any Python 3
reads.
"""

import argparse
import random
import sys

from workbook.launcher.oldpython import require_python


def main() -> int:
    """Go into `.venv`, try inputs for as long as asked, print the counts and what was found."""
    require_python()
    from workbook.launcher.environment import enter

    enter("tests.fuzz", with_tests=True)
    asked = argparse.ArgumentParser(prog="python3 -m tests.fuzz", description=__doc__.splitlines()[0])
    asked.add_argument("--seconds", type=float, default=60, help="how long to go on")
    asked.add_argument("--seed", type=int, help="the same seed tries the same inputs (without: a new one, printed)")
    asked.add_argument("--target", action="append", default=[], help="only this one; may be given several times")
    asked.add_argument("--case", type=int, help="one input of one target by its number, with its traceback")
    options = asked.parse_args()
    from tests.fuzz import run

    seed = random.randrange(10**6) if options.seed is None else options.seed
    if options.case is not None:
        said = run.again(seed, options.target[0], options.case)
        print(said or "nothing is wrong with it")
        return int(bool(said))
    print(f"seed {seed}", flush=True)
    lines, found = run.run(options.seconds, seed, tuple(options.target))
    print("\n".join(lines))
    for kind, count in found.counts.most_common():
        print(f"\n{count} times {kind}\n  {found.again[kind]}\n    kept in {found.first[kind]}")
    return int(bool(found.counts))


if __name__ == "__main__":
    sys.exit(main())
