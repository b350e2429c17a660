"""What stands in for a measure that nobody entered: assumed by a rule, with a margin, or not known at all."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from loadcalc.model import check


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """One measure that nobody entered. What is in its place stands in the record itself.

    measure : the field, in SI ("front_track_m"). rule : what it was taken from and how, with its status.
    plus_minus : half-width of what it may be [unit of the measure]; None: not known, and the number there is for the
        drawing only, so that nothing that rests on it may be judged.
    """

    measure: str
    rule: str
    plus_minus: float | None = None

    def __post_init__(self) -> None:
        check.name("measure", self.measure)
        check.name("rule", self.rule, self.measure)
        if self.plus_minus is not None:
            check.number("plus or minus", self.plus_minus, 0.0, 20_000.0, "", self.measure)


def half_width(assumed: Iterable[Assumption], measure: str) -> float:
    """How far off a measure may be by what is assumed; 0 when somebody entered it, or when it is not known.

    Parameters
    ----------
    assumed : of one record; measure : its field.
    """
    return sum(one.plus_minus or 0.0 for one in assumed if one.measure == measure)


def not_known(assumed: Iterable[Assumption], *measures: str) -> tuple[str, ...]:
    """Which of these measures nobody knows.

    Parameters
    ----------
    assumed : of one record; measures : its fields.
    """
    found = {one.measure for one in assumed if one.plus_minus is None}
    return tuple(measure for measure in measures if measure in found)
