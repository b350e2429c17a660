"""What a random text is made of: numbers, units, days, and names that have hurt somebody before."""

from __future__ import annotations

import random

from loadcalc.season.file.fields import FIELDS, STATES

PLAIN = (
    "0", "1", "2", "3.5", "7", "12", "16", "38", "60", "120", "250", "999", "1500", "0.3", "17.2", "2.25", "1e3",
    "100",
)  # fmt: skip
NUMBERS = (
    *PLAIN, "-0", "-1", "+5", "--1", "1e308", "1e309", "1e400", "-1e400", "1e-320", "nan", "NaN", "inf", "-inf",
    "1e999999999", "9" * 25, "9" * 400, "9" * 5000, "0." + "0" * 400 + "1", "1" + "0" * 5000, "0x10", "1_000",
    "1,234", "1.234", "1,234.5", "1.234,5", "1 234", "1'234", "1,2,3", "1..2", "1.2.3", "1/0", "1/3", "3 1/2",
    "3-1/2", "½", "7½", "½7", "⅓", "38²", "38①", "٣", "３８", "Ⅷ", "5xxx1", "12 lb 4 oz", "6'2\"", "6 ft 2 in",
    "a-b", "~18", "<5", "?", "1e", "e5", ".", "-", "−5", "2³¹", str(2**31), str(2**63), str(2**64), str(-(2**63)),
)  # fmt: skip
DAYS = (
    "2026-05-15", "9999-12-31", "0001-01-01", "1999-12-31", "2026-02-30", "20260515", "2026-W20-5", "2026-13-01",
    "2026-05-15T08:00", "15.05.2026", "05/15/26", "Friday", "-0001-01-01",
)  # fmt: skip
NAMES = (
    "", " ", "x", "Rope", "rope ", "Chainsaw", "chainsaw", "CHAINSAW", "loppers", "Roof", "Cargo floor left",
    "Driver", "Friday departure", "friday-departure", "friday-departure/chainsaw", "a/b", "/", "..", "../../x",
    "a\nb", "a\r\nb", "a\tb", "\x00", "\x1b[31m", "\ufeff", "\u202e38 lb\u202c", "\u200b", "\u2028",
    "e\u0301" * 400, "İ", "ß", "ǆ", "ﬁ", "😀", "👩‍👩‍👧", "=1+1", "+1", "-1", "@x", "x;=1+1", "'", '"', '""',
    "<b>", "</script>", "&amp;", "%s", "{0}", "{}", "None", "null", "true", "yes", "no", "r" * 300, "w " * 400,
    "[[[", "[" * 3000, "[[240, 550], [260, 590]]", "[[0, 0]]", "chainsaw:1:1:0", "2 Loppers; Chainsaw",
    "Water can 1: 5 to 1.2 gal", "5 to 1.2 gal", "x" * 33_000, "__class__", "key", "name", "total", "Totals",
    "Weight (lb)", "mass_lb", "mass_kg", "fuel", "gas", "animal", "person", "weighed", "tied", "US", "SI", "tire",
)  # fmt: skip
UNITS = (
    "", "lb", "kg", "g", "oz", "in", "ft", "m", "cm", "mm", "gal", "qt", "L", "ml", "psi", "kPa", "bar", "lb/gal",
    "kg/L", "km", "mi", "pcs", "stone", "ton", "t", "lbs.", "kgs", "fl oz", "#", "imp gal", "°", "%", "'", '"',
)  # fmt: skip
FIELD_NAMES = sorted({field for fields in FIELDS.values() for field in fields})
CHOICES = (*STATES, "light truck", "on the road", "good", "over", "frame")


def number(rng: random.Random) -> str:
    """Return a number as somebody may type it, and now and then one that nobody would."""
    how = rng.random()
    if how < 0.4:
        return rng.choice(NUMBERS)
    if how < 0.6:
        return f"{rng.uniform(-10, 5000):.{rng.randrange(8)}f}"
    if how < 0.8:
        return str(rng.randrange(-5, 500))
    return repr(rng.choice((1.0, -1.0)) * 10 ** rng.uniform(-330, 308))


def quantity(rng: random.Random, units: tuple[str, ...] = UNITS) -> str:
    """Return a text that may tell an amount."""
    if rng.random() < 0.3:
        return f"{rng.choice(PLAIN)} {rng.choice(units)}"
    parts = []
    for _ in range(rng.choice((1, 1, 1, 2, 3))):
        space = rng.choice(("", " ", " ", "\u00a0", "-", "  "))
        parts.append(f"{number(rng)}{space}{rng.choice(units)}")
    text = rng.choice((" ", " ", "", ", ", " + ", "/", " x ")).join(parts)
    return letters(rng, text) if rng.random() < 0.4 else text


def anything(rng: random.Random) -> str:
    """Return a word for a cell of any kind."""
    kinds = (number, quantity, lambda r: r.choice(DAYS), lambda r: r.choice(NAMES), lambda r: r.choice(NAMES))
    more = (lambda r: r.choice(FIELD_NAMES), lambda r: r.choice(CHOICES))
    return str(rng.choice((*kinds, *more))(rng))


def letters(rng: random.Random, text: str) -> str:
    """Change a few letters of a text."""
    for _ in range(rng.choice((1, 1, 2, 4))):
        at = rng.randint(0, len(text))
        new = chr(rng.randrange(rng.choice((127, 127, 0x300, 0xD800)))) if rng.random() < 0.7 else ""
        text = text[:at] + new + text[at + rng.randrange(2) :]
    return text
