"""Targets that break every promise on purpose: what the harness must find. For tests/house/test_fuzz.py."""

from __future__ import annotations

import random
import time

from loadcalc.model.errors import BadValue
from loadcalc.season import open_season
from tests.fuzz.target import Files, Target
from tests.season_help import demo_folder

RARE = 9
WRONG = {"number.txt": b"7"}  # the input that is wrong: not the first that comes


class _Planted(Target):
    """Wrong at one input of many, refused by name at the others."""

    pages = 0.0

    def make(self, rng: random.Random) -> Files:
        """A number."""
        return {"number.txt": str(rng.randrange(RARE)).encode()}

    def take(self, files: Files) -> bool:
        """Do the wrong thing at one of the numbers."""
        if files == WRONG:
            return self.wrong()
        raise BadValue("number", files["number.txt"], "is not 7", "take 7")

    def wrong(self) -> bool:
        """Break a promise."""
        raise NotImplementedError


class Raises(_Planted):
    """An error that has no name of ours."""

    name = "raises"

    def wrong(self) -> bool:
        """Divide by nothing."""
        return bool(1 / 0)


class Slow(_Planted):
    """Work without end, by Python."""

    name = "slow"

    def wrong(self) -> bool:
        """Go on and on, and take every error for one of its own."""
        while True:
            try:
                sum(range(1000))
            except Exception:
                continue


class Stuck(_Planted):
    """Work without end that hears no signal."""

    name = "stuck"

    def wrong(self) -> bool:
        """Add up what no computer has the time for."""
        return bool(sum(range(10**15)))


class Asleep(_Planted):
    """Waits without end."""

    name = "asleep"

    def wrong(self) -> bool:
        """Wait for what never comes."""
        time.sleep(10**6)
        return True


class Large(_Planted):
    """More memory than an input may take."""

    name = "large"

    def wrong(self) -> bool:
        """Ask for a gigabyte."""
        return len(bytearray(10**9)) > 0


class Writes(_Planted):
    """A refusal that leaves something behind."""

    name = "writes"

    def wrong(self) -> bool:
        """Write, then refuse."""
        (self.folder / "copies").mkdir()
        raise BadValue("number", 7, "is refused", "leave it")


class Dead(_Planted):
    """An accepted season that no page can open."""

    name = "dead"

    def wrong(self) -> bool:
        """Leave a season with a wheelbase that no vehicle has, behind the rules' back."""
        self.season = open_season(demo_folder(self.folder))
        fields = self.season.present.get("vehicle", "vehicle")
        assert fields
        fields["wheelbase_m"] = 99.0
        return True


TARGETS: tuple[type[Target], ...] = (Raises, Slow, Stuck, Asleep, Large, Writes, Dead)
