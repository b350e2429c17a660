"""The ticket that lies on the desk: which one it is, how sure the lists are taken to be, and how it is judged."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from loadcalc.checks.weighing.doubts import Doubts
from loadcalc.checks.weighing.weigh_in import WeighIn
from loadcalc.model.errors import LoadcalcError
from loadcalc.model.quantities import Units
from loadcalc.season.file.present import Fields
from loadcalc.season.story.departures import ticket_fields
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import amount
from workbook.panels.desk.measure import percent
from workbook.panels.weigh_in.tickets import tickets
from workbook.panels.weigh_in.weigh_in_accept import judged

CURB_TEXT = "2%"
UNLISTED_TEXT = {"US": "30 lb", "SI": "15 kg"}


def read_doubts(curb: str, unlisted: str, units: Units) -> Doubts:
    """The two ± that matter most as typed, a share of the curb mass and a mass; the others keep their defaults."""
    return replace(
        Doubts(),
        curb_share=percent(curb, units, "± of the curb mass"),
        unlisted_kg=amount("mass", unlisted, units, "gear on no list", high=500.0),
    )


class TicketDesk:
    """One desk's ticket. `told` hear of every change: another ticket, another reading, another ±.

    key : of the ticket, "" when there is none. result : how it is judged; None, and `why` says why, when it is not.
    """

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.told: list[Callable[[], None]] = []
        self.curb, self.unlisted = CURB_TEXT, UNLISTED_TEXT[desk.units.name]
        self.key = ""
        self.result: WeighIn | None = None
        self.why = ""
        self._judge()
        desk.records.append(self.refresh)

    def follow(self, show: Callable[[], None]) -> None:
        """Show something now and at every change from now on."""
        show()
        self.told.append(show)

    def fields(self) -> Fields:
        """What stands on the ticket."""
        return ticket_fields(self.desk.season, self.key)

    def choose(self, key: str) -> None:
        """Lay another ticket on the desk."""
        self.key = key
        self.refresh()

    def doubt(self, curb: str, unlisted: str) -> None:
        """Take the lists to be as sure as that, as typed."""
        self.curb, self.unlisted = curb, unlisted
        self.refresh()

    def doubts(self) -> Doubts:
        """How sure the lists are taken to be. Raises what :func:`read_doubts` raises."""
        return read_doubts(self.curb, self.unlisted, self.desk.units)

    def refresh(self) -> None:
        """Judge the ticket anew, and tell everybody."""
        self._judge()
        for show in self.told:
            show()

    def _judge(self) -> None:
        keys = [key for _, key in tickets(self.desk.season)]
        if self.key not in keys:
            self.key = keys[0] if keys else ""
        self.result, self.why = None, ""
        if not self.key:
            return
        try:
            self.result = judged(self.desk, self.key, self.doubts())
        except LoadcalcError as error:
            self.why = str(error)
