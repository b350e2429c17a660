"""Take the pictures in docs/pictures from the real pages: `python3 -m tests.pictures`."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PICTURES = ROOT / "docs" / "pictures"


def main() -> int:
    """Open the loadout page on a fresh demo season and save what is seen of it."""
    from playwright.sync_api import sync_playwright

    from tests.browser import chromium
    from tests.browser.lab import Lab, start_command

    path = chromium.find()
    if path is None:
        print(f"No Chromium-family browser was found: {chromium.install_command()}")
        return 1
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        running = start_command(Path(home))
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        lab = Lab(running, browser)
        page = lab.open_page("03-loadout.ipynb")
        page.set_viewport_size({"width": 1280, "height": 1240})
        page.evaluate("jupyterapp.commands.execute('application:toggle-left-area')")
        page.wait_for_timeout(2500)
        PICTURES.mkdir(exist_ok=True)
        page.screenshot(path=PICTURES / "loadout.png")
        page.locator("svg[role=img]").first.screenshot(path=PICTURES / "outline.png")
        lab.close()
        browser.close()
        running.interrupt()
    print(f"Saved the pictures in {PICTURES.relative_to(ROOT)}.")
    return 0


if __name__ == "__main__":
    from workbook.launcher.environment import enter

    enter("tests.pictures", with_tests=True)
    sys.exit(main())
