"""The files that a widget of ours is made of in the browser, joined into one script and one style."""

from pathlib import Path

_HERE = Path(__file__).parent


def script(room: str, *pieces: str) -> str:
    """Join `common.js` and the `.js` files of a widget's room, in the order in which they build on each other."""
    paths = [_HERE / "common.js", *(_HERE / room / f"{piece}.js" for piece in (*pieces, room))]
    return "\n".join(path.read_text(encoding="utf-8") for path in paths)


def style(room: str) -> str:
    """Read the `.css` file of a widget's room."""
    return (_HERE / room / f"{room}.css").read_text(encoding="utf-8")
