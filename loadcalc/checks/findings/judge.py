"""The one judgment of a departure. Whatever a page says of how things stand, it says by reading this."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from functools import cached_property

from loadcalc.checks.findings.finding import Finding
from loadcalc.checks.findings.of_measures import measure_findings
from loadcalc.checks.findings.of_ratings import rating_findings, scale_findings, uncounted_findings
from loadcalc.checks.findings.of_things import (
    CheckDue,
    air_findings,
    due_findings,
    figure_findings,
    lift_findings,
    pressure_findings,
    tie_findings,
)
from loadcalc.checks.ratings.report import Report
from loadcalc.checks.ratings.share import Shares
from loadcalc.checks.weighing.against_ratings import HeldReading
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle


class Judgment(Report):
    """A departure judged whole: its ratings, and everything that is the matter with it.

    Attributes
    ----------
    findings : in order of weight; empty only when nothing is over, unknown, assumed, loose, or due.
    """

    def __init__(
        self,
        shares: Shares,
        due: Sequence[CheckDue] = (),
        weighed: Sequence[HeldReading] = (),
        today: datetime.date | None = None,
        *,
        repacked: bool = False,
    ) -> None:
        super().__init__(shares)
        self._due, self._weighed, self._today, self._repacked = tuple(due), tuple(weighed), today, repacked

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """Everything that is the matter, what matters most first."""
        vehicle, loadout = self.shares.vehicle, self.shares.loadout
        found = (
            *scale_findings(self._weighed, repacked=self._repacked),
            *rating_findings(self),
            *uncounted_findings(self),
            *air_findings(loadout),
            *tie_findings(loadout),
            *lift_findings(loadout),
            *pressure_findings(vehicle, loadout),
            *due_findings(loadout, self._due, self._today),
            *figure_findings(vehicle, loadout),
            *measure_findings(vehicle, loadout),
        )
        return tuple(sorted(found, key=lambda finding: (finding.rank, not finding.is_bad)))


def evaluate(
    vehicle: Vehicle,
    loadout: Loadout,
    *,
    due: Sequence[CheckDue] = (),
    weighed: Sequence[HeldReading] = (),
    repacked: bool = False,
    today: datetime.date | None = None,
) -> Judgment:
    """Judge a departure.

    Parameters
    ----------
    vehicle : the vehicle and its limits
    loadout : what rides where, how it is tied down, and the tires' pressures
    due : checks of anything in the season that have a date or should have one
    weighed : what a scale showed of this departure, held against its ratings
    repacked : whether it is loaded otherwise now than on that scale
    today : the day of the departure, for what is overdue; None: no check is called overdue

    Returns
    -------
    Judgment: findings in order of weight; ratings (tightest first), mass_kg, cg, front_axle_kg, rear_axle_kg,
    wheels_kg, on level ground

    Raises
    ------
    BadValue, NotFound: input that cannot be true. An overload is a result, never an error.

    Notes
    -----
    Formula: load = Σ (share · mass) over what counts; consumed = load / limit; headroom = limit − load
    Source: docs/methods.md says for each rating which masses count, and the share of each
    Status: computed
    """
    return Judgment(Shares(vehicle, loadout), due, weighed, today, repacked=repacked)
