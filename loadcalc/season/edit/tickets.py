"""A weighbridge ticket as the season keeps it: complete or not yet, but never one that can't be."""

from __future__ import annotations

from loadcalc.checks.weighing.scales import Scale
from loadcalc.checks.weighing.ticket import READINGS, Ticket
from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.season.file.present import Fields

USUAL_DIVISION_KG = 10.0  # of a vehicle scale; common practice, no source


def has_reading(fields: Fields) -> bool:
    """Return whether anything that a scale showed is on a ticket."""
    return any(fields.get(f"{key}_kg") is not None for key in READINGS)


def read_ticket(fields: Fields) -> Ticket:
    """Return the ticket for the calculation.

    Parameters
    ----------
    fields : as `ticket_fields` of :mod:`loadcalc.season.story.departures` gives them.

    Raises
    ------
    BadValue when it has no reading yet.
    """
    readings = {key: fields[f"{key}_kg"] for key in READINGS if fields.get(f"{key}_kg") is not None}
    return Ticket(
        readings_kg=readings,
        scale=_scale(fields),
        people_aboard=bool(fields.get("people_aboard", True)),
        fuel_l=fields.get("fuel_l"),
    )


def check_ticket(key: str, fields: Fields) -> None:
    """Raise BadValue when what stands on a ticket can't be true. One without a reading waits for it.

    Parameters
    ----------
    key, fields : as the season keeps them.
    """
    try:
        check.name("weigh-in name", fields.get("name", ""))
        _scale(fields)
        check.number("fuel in the tank", fields.get("fuel_l", 0.0), 0.0, 1000.0, "L")
        if has_reading(fields):
            read_ticket(fields)
    except BadValue as error:
        raise error.at(str(fields.get("name", key))) from error


def _scale(fields: Fields) -> Scale:
    division_kg = fields.get("resolution_kg", USUAL_DIVISION_KG)
    return Scale(resolution_kg=division_kg, one_scale=not fields.get("pads"))
