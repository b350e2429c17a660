"""What a person reads when something stands in the way: one paragraph that names the cause and the cure."""

import sys
import textwrap
from pathlib import Path


class Halt(Exception):
    """The command can't go on. Its text is a whole paragraph for the person who typed the command."""


def say(text: str) -> None:
    """Print one line at once, also when the output goes into a pipe."""
    print(text, flush=True)


def complain(halt: Halt) -> None:
    """Print the paragraph of a Halt on the error stream, wrapped between words only."""
    text = textwrap.fill(str(halt), width=96, break_on_hyphens=False, break_long_words=False)
    print("\n" + text, file=sys.stderr, flush=True)


def no_venv_module() -> Halt:
    """Debian and its children ship Python without the parts that make a virtual environment."""
    return Halt(
        "This Python can't make a virtual environment: its venv and ensurepip parts are missing. On Debian, Ubuntu "
        "and Mint they come with: sudo apt install python3-venv . Elsewhere install the full Python "
        "from https://www.python.org/downloads/ . Then run the same command again."
    )


def disk_full(folder: Path, need_mb: int | None = None, free_mb: int | None = None) -> Halt:
    """folder : where room is missing; need_mb, free_mb : [MB], when they are known"""
    amount = (
        f" The installation needs about {need_mb} MB there, and {free_mb} MB are free." if need_mb else ""
    )
    return Halt(
        f"The disk is full: there is no room left in {folder}.{amount} Free some space (or set TMPDIR to a roomier "
        "folder when that is the temporary one), then run the same command again; it goes on where it stopped."
    )


def no_network() -> Halt:
    """The package index could not be reached."""
    return Halt(
        "The packages could not be fetched: there is no connection to the Python package index (pypi.org). The first "
        "run needs the network once; later runs don't. Check the connection, or the proxy settings "
        "(HTTPS_PROXY) when you are behind one, then run the same command again; it goes on where it stopped."
    )


def untrusted_certificate() -> Halt:
    """The connection works, but its certificate is not accepted (a company proxy, or a wrong clock)."""
    return Halt(
        "The packages could not be fetched: the certificate of the package index was not accepted. Check that the "
        "clock of this computer is right; behind a company proxy, set PIP_CERT to the company's "
        "certificate file. Then run the same command again."
    )


def other_file() -> Halt:
    """The index, a mirror, or something on the way gave a file with another hash than the pinned one."""
    return Halt(
        "A package came as another file than the one that this workbook was tested with, so nothing of it was "
        "installed. The download may have been damaged: run the same command again. When it comes back, don't go "
        "around it: the package index or the network between may be giving out changed files."
    )


def no_package(python: str) -> Halt:
    """A pinned version has no build for this machine."""
    return Halt(
        f"One of the packages has no ready-made build for this computer with Python {python}. Builds exist for "
        "64-bit Linux, macOS and Windows with a released Python of the last few years: install such a "
        "Python from https://www.python.org/downloads/ , remove the folder .venv, and run the same command with it."
    )


def not_allowed(folder: Path) -> Halt:
    """The folder can't be written."""
    return Halt(
        f"This user may not write in {folder}. Move the workbook's folder to a place of your own (your home "
        "folder, for example), or set its permissions right, then run the same command again."
    )


def path_too_long(folder: Path) -> Halt:
    """Windows without long paths."""
    return Halt(
        f"A file name became too long for Windows under {folder}. Move the workbook's folder to a short place such as "
        r"C:\loadout , then run the same command again."
    )


def install_failed(log: Path | None) -> Halt:
    """Something that we don't know. The last lines of the output stand above this paragraph; log has all of it."""
    where = f", and the whole output is in {log}" if log else ""
    return Halt(
        f"The installation stopped; the last lines above say why{where}. Running the same "
        "command again goes on where it stopped; removing the folder .venv first starts afresh."
    )


def port_taken(port: int, asked: bool) -> Halt:
    """port : the port that could not be had; asked : whether the person chose it"""
    if asked:
        return Halt(
            f"Port {port} is taken by another program on this computer. Choose another one, for example "
            f"--port {port + 1 if port < 65535 else 8888}, or leave --port out and the first free one is found."
        )
    return Halt(f"No free port was found from {port} on. Close some programs, or choose one with --port N.")


def port_forbidden(port: int) -> Halt:
    """Low ports belong to the administrator."""
    return Halt(f"This user may not use port {port}. Choose one from 1024 to 65535, for example --port 8888.")
