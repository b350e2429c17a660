"""One rating: a limit, the masses that count, and a weight per kilogram for each of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from loadcalc.checks.ratings.masses import Mass
from loadcalc.model.limits import RATINGS, Limit


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingRow:
    """One rating before any mass is put in.

    key, name : for code and for people; group : "vehicle", "roof", "hitch", "zone", "tire".
    limit : the most it may be [kg], with where it was read; condition : when it holds.
    counts : what counts against it, in words; share : kilograms that one kilogram of a mass adds [-].
    rating : key of the rating that this row is one way of working out, when there are several: the worst of its rows
        is what the rating carries. "" when the row is the whole rating.
    unjudged : what is the matter, and its cure, when not the limit is missing but how much counts against it.
    """

    key: str
    name: str
    group: str
    limit: Limit
    condition: str
    counts: str
    share: Callable[[Mass], float]
    rating: str = ""
    unjudged: tuple[str, str] | None = None

    @property
    def rating_key(self) -> str:
        """The key of the rating that this row belongs to."""
        return self.rating or self.key


def entered_row(key: str, limit: Limit, counts: str, share: Callable[[Mass], float]) -> RatingRow:
    """The row of a rating whose limit a person enters; what it is called and when it holds stands with its key.

    Parameters
    ----------
    key : of `loadcalc.model.limits.RATINGS`; limit : as entered; counts : what counts against it, in words.
    share : kilograms that one kilogram of a mass adds [-].
    """
    kind = RATINGS[key]
    return RatingRow(
        key=key, name=kind.name, group=kind.group, limit=limit, condition=kind.condition, counts=counts, share=share
    )
