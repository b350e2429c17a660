"""What the page says of copies, of the zip, and of tables in and out. Plain functions, no browser needed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from loadcalc.model.errors import LoadcalcError
from loadcalc.season import Season
from loadcalc.season.file.fields import FIELDS, subject_word
from loadcalc.season.file.schema import table_name
from loadcalc.season.keep.copies import BEFORE_RESTORE, BY_HAND, DAILY, FOLDER, Copy, copies, look_into
from loadcalc.season.tables.preview import PreviewRow, TablePreview

WHY = {DAILY: "the day's copy", BEFORE_RESTORE: "made before a restore", BY_HAND: "made by hand"}
MOST_ROWS = 60
TITLES = {
    "setting": "Settings", "vehicle": "Vehicle measures", "tire": "Tires", "limit": "Limits", "seat": "Seats",
    "carrier": "Carrier", "bar": "Carrier bars", "tie_point": "Tie points", "trailer": "Trailer", "zone": "Zones",
    "item": "Gear", "occupant": "People and animals", "liquid": "Liquids", "loadout": "Loadouts",
    "riding": "Who rides where", "stowed": "What is stowed where", "filled": "Liquids aboard",
    "strapping": "Tied groups", "weigh_in": "Weigh-ins", "event": "Events", "trip": "Trips",
}  # fmt: skip


def why(copy: Copy) -> str:
    """Why a copy was made, in words."""
    form = re.fullmatch(r"form-(\d+)", copy.why)
    return f"before form {form[1]} was brought forward" if form else WHY.get(copy.why, copy.why)


def copy_label(copy: Copy) -> str:
    """A copy as one line of a chooser; with the time when it isn't the day's own."""
    clock = re.search(r"T(\d\d)(\d\d)\d\d", copy.name)
    return f"{copy.day.isoformat()}{f', {clock[1]}:{clock[2]}' if clock else ''}: {why(copy)}"


def copy_rows(season: Season) -> Iterator[tuple[str, str, str, str]]:
    """Every copy, newest first: day, why, how many entries, and the newest of them."""
    for copy in copies(season.folder):
        day = copy_label(copy).partition(": ")[0]
        try:
            inside = look_into(copy, thorough=False)
        except LoadcalcError as error:
            yield day, why(copy), "", f"▲ can't be used: {error}"
            continue
        newest = inside.newest
        yield day, why(copy), str(inside.entries), f"{newest.at.astimezone():%Y-%m-%d %H:%M}, {newest.note}"


def copies_said(found: Sequence[object]) -> str:
    """How many copies there are, and when the next one is made."""
    if not found:
        return (
            "No copy yet: the first is made when the season is opened or edited again after its first edit."
        )
    count = f"{len(found)} {'copy' if len(found) == 1 else 'copies'}"
    return (
        f"{count} in the folder “{FOLDER}” beside the season. One is made on each day on which something is new; "
        "the last 14 of these are kept."
    )


def restore_asked(copy: Copy, differing: dict[str, int]) -> str:
    """What restoring a copy would do, to be said before it is done."""
    if not differing:
        return f"Nothing differs from the copy of {copy.day.isoformat()}: there is nothing to restore."
    parts = [f"{number} {_things(subject, number)}" for subject, number in differing.items()]
    return (
        f"Make everything as it was in the copy of {copy.day.isoformat()}? That changes {_and(parts)}.\n"
        "A copy of how it is now is made first. What was written since stays in the ledger, and Undo brings it back."
    )


def _things(subject: str, number: int) -> str:
    word, on, board = subject_word(subject).partition(" on board")
    many = "people" if word == "person" else f"{word}s"
    return f"{word if number == 1 else many}{on}{board}"


def _and(parts: Sequence[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def zip_name(season: Season, day: str) -> str:
    """The name of a season's zip: "fern-gap-trail-crew-2026-05-15.zip"."""
    stem = re.sub(r"\W+", "-", season.title.casefold()).strip("-") or "season"
    return f"{stem}-{day}.zip"


def title_of(subject: str) -> str:
    """What a table is called on the page."""
    return TITLES.get(subject, table_name(subject).replace("_", " ").capitalize())


def table_choices() -> list[tuple[str, str]]:
    """Every table as (title, subject)."""
    return [(title_of(subject), subject) for subject in FIELDS]


def table_said(preview: TablePreview, filename: str) -> str:
    """The preview in one sentence, then what else should be known before saying yes."""
    said = [f"{title_of(preview.subject)} from {filename}: {preview.summary()}."]
    if preview.problem:
        said.insert(0, f"This can't be imported as it is: {preview.problem}.")
    said += [f"{note[0].upper()}{note[1:]}." for note in preview.notes]
    return "\n".join(said)


def table_rows(preview: TablePreview) -> Iterator[tuple[str, str, str, str]]:
    """The preview as rows: where in the file, what would happen, to what, in words; the longest part cut."""
    yield from (refused.cells for refused in preview.refused[:MOST_ROWS])
    yield from _rows(preview.changed, "changed")
    yield from _rows(preview.added, "added")
    word = "removed" if preview.removing else "kept"
    for row in preview.missing[:MOST_ROWS]:
        yield "", word, row.name, "not in the file"
    left = sum(
        max(len(part) - MOST_ROWS, 0)
        for part in (preview.refused, preview.changed, preview.added, preview.missing)
    )
    if left:
        yield "", "…", f"{left} more", "not shown, but counted above"


def _rows(rows: Sequence[PreviewRow], word: str) -> Iterator[tuple[str, str, str, str]]:
    for row in rows[:MOST_ROWS]:
        yield f"row {row.row}", word, row.name, "; ".join(map(str, row.changes))
