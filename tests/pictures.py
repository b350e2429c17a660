"""Take the pictures in docs/pictures from the real pages: `python3 -m tests.pictures`."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import ViewportSize

ROOT = Path(__file__).resolve().parents[1]
PICTURES = ROOT / "docs" / "pictures"


SIZE: ViewportSize = {"width": 1280, "height": 800}
REST_MS = 2500  # until the last chart stands still


def main() -> int:
    """Open each page on a fresh demo season and save what is seen of it, as it opens."""
    from playwright.sync_api import sync_playwright

    from tests.browser import chromium
    from tests.browser.lab import Lab, start_command
    from tests.store_page_text import PAGES

    path = chromium.find()
    if path is None:
        print(f"No Chromium-family browser was found: {chromium.install_command()}")
        return 1
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        running = start_command(Path(home))
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        lab = Lab(running, browser)
        for name in (path.name for path in PAGES):
            page = lab.open_page(name, parts=False)
            page.set_viewport_size(SIZE)
            page.wait_for_timeout(REST_MS)
            page.screenshot(path=PICTURES / f"{Path(name).stem}.png")
            page.close()
        lab.close()
        browser.close()
        running.interrupt()
    print(f"Saved the pictures in {PICTURES.relative_to(ROOT)}.")
    return 0


if __name__ == "__main__":
    from workbook.launcher.environment import enter

    enter("tests.pictures", with_tests=True)
    sys.exit(main())
