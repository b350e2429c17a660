"""`python3 -m tests [what pytest takes]`: run the tests inside `.venv`, which is made or completed first.

Like `workbook/__main__.py`, this file keeps to syntax that any Python 3 reads.
"""

import os
import sys

from workbook.launcher.oldpython import require_python

NAME, QUICK, ALL = "LOADOUT_TESTS", "quick", "all"  # tests/amount.py reads them
# A worker that dies ends the run: one in its place has been seen to wait for a test for ever.
TWO_WORKERS = ["-n", "2", "--dist", "loadscope", "--no-loadscope-reorder", "--max-worker-restart", "0"]


def main() -> int:
    """Check the Python version, go into `.venv`, run pytest. Returns its exit code (5 when no test was found).

    Without arguments every test is run, by two workers (tests/notebooks.py says which tests share one). `--quick`
    leaves the browser out and tries few cases, `--all` tries many (tests/amount.py).
    """
    require_python()
    from workbook.launcher.environment import enter

    enter("tests", with_tests=True)
    import pytest

    given = sys.argv[1:]
    if given[:1] == ["--quick"]:
        os.environ[NAME] = QUICK
        given = given[1:] or [*TWO_WORKERS, "-m", "not browser"]
    elif given[:1] == ["--all"]:
        os.environ[NAME] = ALL
        given = given[1:] or TWO_WORKERS
    return int(pytest.main(given or TWO_WORKERS))


if __name__ == "__main__":
    sys.exit(main())
