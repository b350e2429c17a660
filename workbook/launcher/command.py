"""The command `python3 -m workbook`: its options, and its way to the running server."""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from workbook.launcher import environment, ports
from workbook.launcher.messages import Halt, complain
from workbook.launcher.season import DEMO

PROGRAM = "python3 -m workbook"
ABOUT = """\
Opens the workbook in your browser: what comes along, where it rides, and what
that does to every rating of the vehicle.

The first start installs what is needed into the folder .venv beside this one
(once, with the network). Later starts take a few seconds and need no network.
Ctrl-C in this window closes the workbook."""
EXAMPLES = """\
examples:
  python3 -m workbook                        look at the demo season
  python3 -m workbook --season my-season     keep your own (made when it is new)
  python3 -m workbook --no-browser           print the address, open nothing"""


def parse(arguments: Sequence[str]) -> argparse.Namespace:
    """Read the options. Returns season (absolute Path), browser (bool), port (int or None)."""
    parser = argparse.ArgumentParser(
        prog=PROGRAM, description=ABOUT, epilog=EXAMPLES, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument(
        "--season", metavar="FOLDER", type=_folder, default=DEMO,
        help="folder with your season; a new folder gets a blank one (without this: the demo season)",
    )  # fmt: skip
    parser.add_argument(
        "--no-browser", dest="browser", action="store_false",
        help="don't open a browser; print an address that you can copy into one",
    )  # fmt: skip
    parser.add_argument(
        "--port", metavar="N", type=_port,
        help=f"listen on this port (without this: the first free one from {ports.FIRST_PORT})",
    )  # fmt: skip
    return parser.parse_args(arguments)


def _folder(text: str) -> Path:
    from loadcalc.model.errors import SeasonError
    from loadcalc.season.keep.opening import folder_of  # the standard library alone, as all of this module

    try:
        folder = folder_of(text).absolute()
    except SeasonError as error:
        raise argparse.ArgumentTypeError(str(error)) from error
    if folder.exists() and not folder.is_dir():
        raise argparse.ArgumentTypeError(f"{text} is a file; a season is a folder")
    return folder


def _port(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"{text} is not a port; use a whole number from 1024 to 65535")
    return int(text)


def main(arguments: Sequence[str]) -> int:
    """Open the workbook. Returns the exit code: 0 after Ctrl-C, 1 when something stands in the way."""
    options = parse(arguments)
    try:
        port = ports.choose(options.port)  # before a long installation, not after it
        environment.enter("workbook")
        from workbook.launcher import lab

        return lab.serve(season_folder=options.season, port=port, browser=options.browser)
    except Halt as halt:
        complain(halt)
        return 1
    except KeyboardInterrupt:
        print("\nStopped before the workbook was open.", file=sys.stderr)
        return 130
