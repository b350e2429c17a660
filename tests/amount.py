"""How much the tests try: the usual amount, less (`python3 -m tests --quick`), or all (`--all`)."""

from __future__ import annotations

import os
from typing import TypeVar

from tests.__main__ import ALL, NAME, QUICK

T = TypeVar("T")


def amount(usual: T, *, quick: T, every: T) -> T:
    """Which of three amounts this run takes.

    Parameters
    ----------
    usual : of `python3 -m tests`, and of a test run by its name. quick, every : of `--quick` and `--all`.
    """
    return {QUICK: quick, ALL: every}.get(os.environ.get(NAME, ""), usual)
