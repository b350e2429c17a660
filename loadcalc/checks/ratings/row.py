"""One rating: a limit, the masses that count, and a weight per kilogram for each of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from loadcalc.checks.ratings.masses import Mass
from loadcalc.model.vehicle import Limit

ALWAYS = "at all times"
ROAD, OFF_ROAD, PARKED = "moving on road", "moving off road", "parked"


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
