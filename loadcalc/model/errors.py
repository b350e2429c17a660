"""Named errors. Bad input raises one of these; an overload never does: it is a result."""

MOST_SHOWN = 100  # characters of a value in a message


class LoadcalcError(Exception):
    """Base of every error that this package raises on purpose."""


class BadValue(LoadcalcError, ValueError):
    """A field holds a value that cannot be used.

    Parameters
    ----------
    field : the field, in the words of the page ("mass each").
    value : what was given.
    problem : what is wrong with it, with the limit and the unit.
    cure : what to do about it.
    where : the record or cell it stands in ("gear row 12, Chainsaw"), if known.
    """

    def __init__(self, field: str, value: object, problem: str, cure: str, where: str = "") -> None:
        self.field = field
        self.value = value
        self.problem = problem
        self.cure = cure
        self.where = where
        super().__init__(field, value, problem, cure, where)

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        return f"{place}{self.field} {quoted(self.value)} {self.problem}; {self.cure}"

    def at(self, where: str) -> "BadValue":
        """Return the same error, saying where the value stands."""
        return type(self)(self.field, self.value, self.problem, self.cure, where)


def short(value: object) -> str:
    """Return a value as a message shows it, a long one cut."""
    try:
        text = str(value)
    except ValueError:  # Python writes out no whole number of over 4300 digits
        return "(thousands of digits)"
    except RecursionError:
        return "(a list in a list, and on)"
    return text if len(text) <= MOST_SHOWN else f"{text[:MOST_SHOWN]}\u2026"


def quoted(value: object) -> str:
    """Return a value as a message shows it, a text between quotes."""
    return repr(short(value)) if isinstance(value, str) else short(value)


class NotFound(LoadcalcError, LookupError):
    """A name that the records do not hold."""

    def __init__(self, kind: str, name: object, known: object = ()) -> None:
        self.kind = kind
        self.name = name
        self.known = tuple(known) if isinstance(known, (list, tuple, set, frozenset)) else ()
        super().__init__(kind, name, self.known)

    def __str__(self) -> str:
        if not self.known:
            return f"there is no {self.kind} {quoted(self.name)}; none is recorded yet"
        return f"there is no {self.kind} {quoted(self.name)}; known: {', '.join(map(str, self.known))}"


class SeasonError(LoadcalcError, RuntimeError):
    """The season folder or its file cannot be used as asked; the message says what to do."""
