"""Limits: which ratings have one that a person enters, and what a maker's limit is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loadcalc.model import check
from loadcalc.model.errors import BadValue

ASSUMED_WORDS = ("guess", "estimate", "assum", "example", "from memory")
ALWAYS = "at all times"
ROAD, OFF_ROAD, PARKED = CONDITIONS = ("moving on road", "moving off road", "parked")
VEHICLE, CARRIER, TRAILER = "vehicle", "roof rack", "trailer"


@dataclass(frozen=True, slots=True)
class RatingKind:
    """A rating whose limit a person enters.

    name : for people; owner : whose limit it is, "vehicle", "roof rack", or "trailer".
    group : "vehicle", "roof", or "hitch", by which pages sort it; condition : when it holds.
    where : where a person finds its limit.
    """

    name: str
    owner: str
    group: str
    condition: str
    where: str


# fmt: off  # a rating reads as its key, its kind, and its sentence
RATINGS: dict[str, RatingKind] = {
    "gross": RatingKind(
        "Gross vehicle weight rating (GVWR)", VEHICLE, "vehicle", ALWAYS,
        "Certification label, usually on the driver's door jamb or door edge: “GVWR”. In Australia “GVM”, on "
        "the compliance plate or in the handbook; in Europe the first kg figure on the maker's plate.",
    ),
    "front_axle": RatingKind(
        "Front gross axle weight rating (GAWR)", VEHICLE, "vehicle", ALWAYS,
        "The same label: “GAWR FRONT”, elsewhere the front axle load. It may name the tire and pressure it "
        "holds for.",
    ),
    "rear_axle": RatingKind(
        "Rear gross axle weight rating (GAWR)", VEHICLE, "vehicle", ALWAYS,
        "The same label: “GAWR REAR”, elsewhere the rear axle load.",
    ),
    "placard": RatingKind(
        "People and cargo (tire placard)", VEHICLE, "vehicle", ALWAYS,
        "Tire placard on the driver's door jamb: “The combined weight of occupants and cargo should never "
        "exceed …”. Where there is no placard: payload, GVM less tare or kerb mass.",
    ),
    "roof_road": RatingKind(
        "Vehicle roof, moving on road", VEHICLE, "roof", ROAD,
        "Owner's handbook, under roof load or roof rack. The rack's own mass counts against it.",
    ),
    "roof_off_road": RatingKind(
        "Vehicle roof, moving off road", VEHICLE, "roof", OFF_ROAD,
        "Owner's handbook or a letter from the maker. If only one moving limit is given, don't assume that it "
        "holds off road.",
    ),
    "roof_parked": RatingKind(
        "Vehicle roof, parked", VEHICLE, "roof", PARKED,
        "A letter from the maker, seldom the handbook. Never worked out from the moving limit.",
    ),
    "combination": RatingKind(
        "Gross combination weight rating (GCWR)", VEHICLE, "hitch", ALWAYS,
        "Owner's handbook, under towing: “GCWR”, in Australia “GCM”. Vehicle and trailer together.",
    ),
    "tow": RatingKind(
        "Vehicle tow rating", VEHICLE, "hitch", ALWAYS,
        "Owner's handbook, under towing. Also “braked towing capacity”. It may fall with what is aboard: GCWR "
        "says by how much.",
    ),
    "hitch_trailer": RatingKind(
        "Hitch, trailer mass", VEHICLE, "hitch", ALWAYS,
        "Plate on the receiver: “max gross trailer weight”. Of receiver, mount, and ball the lowest counts.",
    ),
    "hitch_tongue": RatingKind(
        "Hitch, tongue weight", VEHICLE, "hitch", ALWAYS,
        "Plate on the receiver: “max tongue weight”, “tow ball download”, “ball weight”, or “nose weight”. Of "
        "receiver, mount, and ball the lowest counts.",
    ),
    "hitch_road": RatingKind(
        "Hitch carrier, moving on road", VEHICLE, "hitch", ROAD,
        "The hitch carrier's sheet and the receiver's; the lower counts. The carrier's own mass counts too.",
    ),
    "hitch_off_road": RatingKind(
        "Hitch carrier, moving off road", VEHICLE, "hitch", OFF_ROAD,
        "The same sheets; many halve the road number or forbid it. Never guessed.",
    ),
    "carrier_road": RatingKind(
        "Roof rack or platform, moving on road", CARRIER, "roof", ROAD,
        "The rack maker's sheet or a label on the rack.",
    ),
    "carrier_off_road": RatingKind(
        "Roof rack or platform, moving off road", CARRIER, "roof", OFF_ROAD,
        "The rack maker's sheet, often a fraction of the road number. Mounts and bars may have limits of their "
        "own.",
    ),
    "carrier_parked": RatingKind(
        "Roof rack or platform, parked", CARRIER, "roof", PARKED,
        "The rack maker's sheet, under static or parked load.",
    ),
    "trailer_gross": RatingKind(
        "Trailer gross weight rating", TRAILER, "hitch", ALWAYS,
        "The trailer's own plate: “GVWR”, in Australia “ATM” (the whole trailer, not hitched).",
    ),
    "trailer_axle": RatingKind(
        "Trailer axle rating (of two: together)", TRAILER, "hitch", ALWAYS,
        "The trailer's own plate: “GAWR”, in Australia “GTM”: what its wheels may carry while it is hitched. "
        "With two axles: all of it; left empty, the two below are added up.",
    ),
    "trailer_front_axle": RatingKind(
        "Trailer front axle, of two", TRAILER, "hitch", ALWAYS,
        "Two axles: the plate in America has a “GAWR” for each, even when they are alike.",
    ),
    "trailer_rear_axle": RatingKind(
        "Trailer rear axle, of two", TRAILER, "hitch", ALWAYS,
        "The same plate.",
    ),
    "trailer_tire": RatingKind(
        "Trailer tire, each", TRAILER, "hitch", ALWAYS,
        "Sidewall of the trailer's tire: “max load single”, or its load index, at the pressure it is run at. "
        "Less air carries less.",
    ),
}
# fmt: on
VEHICLE_LIMITS, CARRIER_LIMITS, TRAILER_LIMITS = (
    {key: kind.name for key, kind in RATINGS.items() if kind.owner == owner}
    for owner in (VEHICLE, CARRIER, TRAILER)
)


def said_to_be_assumed(source: str) -> bool:
    """Whether where a number is from says that nobody read or measured it.

    Parameters
    ----------
    source : as a person wrote it.

    >>> said_to_be_assumed("a guess"), said_to_be_assumed("driver's door label")
    (True, False)
    """
    return any(word in source.casefold() for word in ASSUMED_WORDS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """What a maker allows, and where that was read.

    limit_kg : the most it may carry [kg], or None when not known.
    read_at : where the number was read ("door label", "handbook p. 212", "a guess").
    assumed : what the number takes for granted, in words; "" when it was read as it stands. Whoever says in
        `read_at` that it is a guess, an estimate, or an example has said that it is assumed.
    """

    limit_kg: float | None = None
    read_at: str = ""
    assumed: str = ""

    def __post_init__(self) -> None:
        if self.limit_kg is not None:
            check.number("limit", self.limit_kg, 0.0, 40_000.0, "kg")
            if not self.assumed and said_to_be_assumed(self.read_at):
                object.__setattr__(self, "assumed", self.read_at)


UNKNOWN = Limit()


class Limits(Mapping[str, Limit]):
    """Limits by rating key. Cannot be changed; can be compared, hashed, copied, and pickled."""

    __slots__ = ("_pairs",)

    def __init__(self, limits: Mapping[str, Limit], ratings: Mapping[str, str], of: str = "") -> None:
        word = "roof rack rating" if ratings is CARRIER_LIMITS else "rating"
        for key, limit in limits.items():
            check.one_of(word, key, ratings, of)
            if not isinstance(limit, Limit):
                raise BadValue(
                    ratings[key], limit, "is not a Limit", "write Limit(limit_kg=..., read_at=...)", of
                )
        self._pairs = tuple(limits.items())

    def __getitem__(self, key: str) -> Limit:
        for name, limit in self._pairs:
            if name == key:
                return limit
        raise KeyError(key)

    def __iter__(self) -> Iterator[str]:
        return iter([name for name, _ in self._pairs])

    def __len__(self) -> int:
        return len(self._pairs)

    def __hash__(self) -> int:
        return hash(frozenset(self._pairs))

    def __repr__(self) -> str:
        return f"Limits({dict(self._pairs)!r})"
