"""The one check that has to run on a Python that is too old for everything else.

Plain syntax on purpose: no f-string tricks, no walrus, annotations of newer kinds in quotes.
"""

import sys

OLDEST = (3, 11)


def complaint(version: "tuple[int, ...]") -> str:
    """Say what to do about a Python that is too old.

    version : version of the running Python, as in sys.version_info
    returns : one paragraph, or "" when the version is new enough
    """
    if tuple(version[:2]) >= OLDEST:
        return ""
    return (
        f"This needs Python 3.11 or newer, and this is Python {version[0]}.{version[1]}. Install a newer one from "
        "https://www.python.org/downloads/ or from your system's packages, then run the same command with it "
        "(for example: python3.12 -m workbook)."
    )


def require_python() -> None:
    """Leave with a plain sentence and exit code 1 when the running Python is too old."""
    text = complaint(sys.version_info[:3])
    if text:
        sys.stderr.write(text + "\n")
        sys.exit(1)
