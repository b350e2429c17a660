"""`python3 -m tests.mutants [--seed 1] [--sample 200] [paths]`: what the tests of the checks notice, and what not.

Like `tests/__main__.py`, this file keeps to syntax that any Python 3 reads.
"""

import argparse
import sys

from workbook.launcher.oldpython import require_python


def main() -> int:
    """Go into `.venv`, try the sample, print a line for each change and the share noticed. Returns 0 always."""
    require_python()
    from workbook.launcher.environment import enter

    enter("tests.mutants", with_tests=True)
    asked = argparse.ArgumentParser(prog="python3 -m tests.mutants", description=__doc__.splitlines()[0])
    asked.add_argument("--seed", type=int, default=1, help="another seed is another sample")
    asked.add_argument("--sample", type=int, default=200, help="how many changes to try")
    asked.add_argument("paths", nargs="*", default=["loadcalc/checks"], help="files and folders to change")
    from tests.mutants.trial import lines

    given = asked.parse_args()
    for line in lines(given.paths, given.seed, given.sample):
        print(line, flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
