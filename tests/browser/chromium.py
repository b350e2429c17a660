"""Finding a Chromium-family browser on this machine, and saying how to get one."""

import os
import shutil
import sys
from collections.abc import Mapping
from pathlib import Path

COMMANDS = (
    "chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "microsoft-edge", "msedge",
    "brave-browser",
)  # fmt: skip
MAC = (
    "Google Chrome.app/Contents/MacOS/Google Chrome",
    "Chromium.app/Contents/MacOS/Chromium",
    "Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
)
WINDOWS = (
    "Google/Chrome/Application/chrome.exe",
    "Chromium/Application/chrome.exe",
    "Microsoft/Edge/Application/msedge.exe",
)


def find(environment: Mapping[str, str] = os.environ, platform: str = sys.platform) -> Path | None:
    """Find a browser: the one that LOADOUT_BROWSER names, one on the PATH, or one in its usual place."""
    named = environment.get("LOADOUT_BROWSER")
    if named:
        return Path(named)
    for command in COMMANDS:
        if found := shutil.which(command, path=environment.get("PATH")):
            return Path(found)
    usual = [folder / name for folder in _folders(environment, platform) for name in MAC + WINDOWS]
    return next((path for path in usual if path.exists()), None)


def _folders(environment: Mapping[str, str], platform: str) -> list[Path]:
    """Where programs are installed on this platform."""
    if platform == "darwin":
        return [Path("/Applications"), Path(environment.get("HOME", "")) / "Applications"]
    if platform == "win32":
        return [Path(environment[name]) for name in ("ProgramFiles", "ProgramFiles(x86)", "LOCALAPPDATA")
                if name in environment]  # fmt: skip
    return []


def install_command(platform: str = sys.platform) -> str:
    """The one command that brings a browser."""
    if platform == "darwin":
        return "brew install --cask chromium"
    if platform == "win32":
        return "winget install Google.Chrome"
    if shutil.which("dnf"):
        return "sudo dnf install chromium"
    if shutil.which("pacman"):
        return "sudo pacman -S chromium"
    return "sudo apt-get install -y chromium"
