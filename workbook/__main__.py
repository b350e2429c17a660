"""`python3 -m workbook`: open the workbook in a browser.

This file, `workbook/__init__.py` and `workbook/launcher/oldpython.py` keep to syntax that any Python 3 reads, so
that an old one can say what is missing in place of a syntax error.
"""

import sys

from workbook.launcher.oldpython import require_python


def main() -> int:
    """Check the Python version first; import the rest only after that. Returns the exit code."""
    require_python()
    from workbook.launcher import command

    return command.main(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
