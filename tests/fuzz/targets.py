"""The targets: everything that a season reads from somebody's hand or disk."""

from __future__ import annotations

import csv
import io
import json
import math
import random
from collections.abc import Callable

from loadcalc.model import quantities
from loadcalc.model.quantities import SI, US
from loadcalc.season import open_season, start_season
from loadcalc.season.file.fields import FIELDS
from loadcalc.season.file.schema import table_name
from loadcalc.season.keep.archive import start_from_zip
from tests.damage import DAMAGE, PAGE
from tests.fuzz import change, ledger, seeds
from tests.fuzz.target import Files, Target
from tests.fuzz.words import UNITS, quantity
from tests.season_help import demo_season
from tests.widget_help import walk
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.offer import Offer
from workbook.panels.gear.lists import ImportPanel
from workbook.panels.ledger.tables import TablePanel

MOST_ENTRIES = 60  # that one season takes before the next begins anew
READERS: dict[str, Callable[..., float]] = {
    name: getattr(quantities, name) for name in quantities.__all__ if name.startswith("read_")
}
OWN_UNITS = {
    "read_mass_kg": ("lb", "kg"), "read_volume_l": ("gal", "L"), "read_length_m": ("in", "m"),
    "read_sideways_m": ("in", "m"), "read_pressure_kpa": ("psi", "kPa"), "read_density_kg_per_l": ("lb/gal", "kg/L"),
    "read_count": ("",),
}  # fmt: skip
WRITERS = {
    "read_mass_kg": "mass", "read_volume_l": "volume", "read_length_m": "length", "read_sideways_m": "sideways",
    "read_pressure_kpa": "pressure", "read_density_kg_per_l": "density",
}  # fmt: skip


class Quantities(Target):
    """Texts that may tell an amount, read and written again."""

    name, share = "quantities", 0.5

    def make(self, rng: random.Random) -> Files:
        """A text, which reader it is for, and how the column is."""
        which = rng.choice(tuple(READERS))
        text = quantity(rng, (*OWN_UNITS[which], "") if rng.random() < 0.6 else UNITS)
        if which == "read_sideways_m" and rng.random() < 0.5:
            text = rng.choice((f"{text} left", f"right {text}", f"{text} right", f"left{text}"))
        unit = rng.choice(OWN_UNITS[which])
        return {"text.json": json.dumps([which, text, unit, rng.choice((None, True, False))]).encode()}

    def put(self, files: Files) -> None:
        """Nothing is read from the disk."""

    def take(self, files: Files) -> bool:
        """Read the text; what comes of it is a finite number that can be written in either units."""
        which, text, unit, comma = json.loads(files["text.json"])
        options = {"unit": unit} if unit else {}
        value = READERS[which](text, decimal_comma=comma, **options)
        assert math.isfinite(value), value
        for system in (US, SI):
            if which in WRITERS:
                assert getattr(system, WRITERS[which])(value)
        return True


class _Brought(Target):
    """A file that is brought in on a page, into a season that stands open."""

    panel: type[Offer]
    sheet: Offer | None = None

    def put(self, files: Files) -> None:
        """Open a season unless one is open that can take more."""
        if self.season is not None and self.season.version > MOST_ENTRIES:
            self.close()
        if self.season is None:
            self.season = demo_season(self.folder, durable=False)
            self.sheet = self.panel(Desk(self.season))

    def take(self, files: Files) -> bool:
        """Read the file, look at what it would change, and take that in."""
        ((name, content),) = files.items()
        assert self.sheet is not None
        raw = self.sheet.read(content, name)
        look = self.sheet.look(raw)
        return look.worth and bool(self.sheet.take(raw, look.shown))

    def leave(self) -> None:
        """Take back what was taken in, so that the next file finds what this one found."""
        if self.season is not None and self.season.undo():
            assert self.season.present == self.season.present_at(1), "undo has not brought back what there was"

    def close(self) -> None:
        """Close the season; the next input opens another."""
        if self.sheet is not None:
            for part in walk(self.sheet.view):
                part.close()
        super().close()


class GearLists(_Brought):
    """Somebody's gear list on page 02: CSV in every way of writing it, XLSX, text."""

    name, share, pages, panel = "gear lists", 1.0, 0.03, ImportPanel

    def make(self, rng: random.Random) -> Files:
        """A messy list, or our own inventory, with its cells, words, or bytes changed."""
        data = rng.choice(seeds.lists())
        how = rng.random()
        if how < 0.5:
            return {"list.csv": change.as_csv(rng, change.cells(rng, change.grid(data)))}
        if how < 0.75:
            return {"list.txt": change.words(rng, data)}
        if how < 0.85:
            return {"list.csv": change.raw(rng, data)}
        return {"list.xlsx": seeds.workbook(rng, "gear", change.grid(data))}


class OwnTables(_Brought):
    """One of the season's own tables on page 08, with or without deleting what the file lacks."""

    name, share, pages, panel = "own tables", 1.5, 0.05, TablePanel

    def make(self, rng: random.Random) -> Files:
        """One of the tables as it was saved, with its cells, words, or bytes changed."""
        subject = rng.choice(tuple(FIELDS))
        data, called = seeds.saved()[subject][rng.randrange(2)], table_name(subject)
        name = f"{called}{' delete' if rng.random() < 0.3 else ''}"
        how = rng.random()
        if how < 0.65:
            return {f"{name}.csv": change.as_csv(rng, change.cells(rng, change.grid(data)))}
        if how < 0.8:
            return {f"{name}.csv": change.words(rng, data)}
        if how < 0.9:
            return {f"{name}.csv": change.raw(rng, data)}
        return {f"{name}.xlsx": seeds.workbook(rng, called, change.grid(data))}

    def take(self, files: Files) -> bool:
        """As on the page, the box ticked when the file's name says so."""
        ((name, content),) = files.items()
        assert isinstance(self.sheet, TablePanel)
        self.sheet.remove.value = "delete" in name
        return super().take({name.replace(" delete", ""): content})


class TextTables(Target):
    """A folder of text tables that a season is started from: the CSV files."""

    name, share, ends = "text tables", 1.0, ".csv"

    def make(self, rng: random.Random) -> Files:
        """The demo's or the blank tables, one or two files changed."""
        files = dict(rng.choice(seeds.folders()))
        mine = [name for name in files if name.endswith(self.ends)]
        for name in rng.sample(mine, rng.choice((1, 1, 2))):
            files[name] = self._changed(rng, files[name])
        return files

    def _changed(self, rng: random.Random, data: bytes) -> bytes:
        if rng.random() < 0.6:
            table = io.StringIO()
            csv.writer(table).writerows(change.cells(rng, change.grid(data)))
            return table.getvalue().encode("utf-8", "surrogatepass")
        return rng.choice((change.words, change.words, change.raw))(rng, data)

    def take(self, files: Files) -> bool:
        """Start a season from them."""
        self.season = start_season(self.folder / "new", self.folder)
        return True


class Toml(TextTables):
    """The TOML files of such a folder: the vehicle and the loadouts."""

    name, share, ends = "toml", 1.0, ".toml"

    def _changed(self, rng: random.Random, data: bytes) -> bytes:
        if rng.random() < 0.15:
            return change.raw(rng, data)
        if rng.random() < 0.2:  # a value of another kind
            lines = data.decode().splitlines()
            at = rng.choice([number for number, line in enumerate(lines) if "=" in line] or [0])
            lines[at] = f"{lines[at].partition('=')[0]}= {rng.choice(TOML_VALUES)}"
            return "\n".join(lines).encode()
        return change.words(rng, data)


TOML_VALUES = (
    "5", "-1", "true", "nan", "inf", "1e400", "9" * 400, '""', '"x"', "[]", "[[]]", "[1, 2]", "{}", "{a = 1}",
    "2026-05-15", "2026-05-15T08:00:00Z", "08:00:00", "[" * 200 + "]" * 200, '[["a", 1]]', "0x10", '"x" * 3',
    '"\\ud800"', "{item = 5}",
)  # fmt: skip


class SeasonZip(Target):
    """A whole season as a zip, made into a season of its own."""

    name, share = "season zip", 1.0

    def make(self, rng: random.Random) -> Files:
        """A season's zip with its ledger, a part, or its bytes changed."""
        data = rng.choice(seeds.zips())
        how = rng.random()
        if how < 0.6:
            return {"season.zip": ledger.edited(rng, data)}
        if how < 0.85:
            return {"season.zip": change.package(rng, data, rng.choice((change.words, change.words, change.raw)))}
        return {"season.zip": change.raw(rng, data)}

    def take(self, files: Files) -> bool:
        """Bring it into a new folder."""
        self.season = start_from_zip(self.folder / "new", files["season.zip"])
        return True


class SeasonFile(Target):
    """A season's file that is damaged, or no season, in the place where one is opened."""

    name, share = "season file", 0.7

    def make(self, rng: random.Random) -> Files:
        """A season's file, damaged once or twice."""
        data = bytearray(seeds.file()[0])
        for _ in range(rng.choice((1, 1, 2))):
            if len(data) > PAGE:
                rng.choice(DAMAGE)(rng, data)
        return {"season.db": bytes(data)}

    def take(self, files: Files) -> bool:
        """Open it; what was not refused says what it said before."""
        self.season = open_season(self.folder)
        self.season.verify()
        assert self.season.present == seeds.file()[1], "it opens with other values than were kept"
        return True


TARGETS: tuple[type[Target], ...] = (Quantities, GearLists, OwnTables, TextTables, Toml, SeasonZip, SeasonFile)
