"""No finding of the axe engine in what is ours on any page: light, dark, and at 200 %, all parts open."""

from __future__ import annotations

import itertools

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.amount import amount
from tests.browser.lab import Lab
from tests.store_page_text import PAGES

SIZES = {"100 %": {"width": 1280, "height": 800}, "200 %": {"width": 640, "height": 400}}
EVERY = tuple(itertools.product(SIZES, ("light", "dark")))
BY_TURNS = itertools.cycle(((("100 %", "light"),), (("200 %", "dark"),)))  # one look a page; `--all` takes every one
OURS = {
    "include": [[".jp-NotebookPanel:not(.lm-mod-hidden) .jp-WindowedPanel-outer"]],
    # JupyterLab's own: the box that code is typed in, the button beside a heading. And how pandas shows a table.
    "exclude": [[".jp-InputArea-editor"], [".jp-collapseHeadingButton"], [".dataframe"]],
}
RULES = {
    "resultTypes": ["violations"],
    "rules": {"region": {"enabled": False}},  # landmarks: JupyterLab lays out the window around a page
}


def violations(page: Page) -> list[str]:
    """Each as "rule: element, where"."""
    return [
        f"{rule['id']}: {node['html'][:160]} at {node['target']}"
        for rule in Axe().run(page, context=OURS, options=RULES).response["violations"]
        for node in rule["nodes"]
    ]


def choose_theme(page: Page, name: str) -> None:
    """Choose JupyterLab's light or dark theme by its own command."""
    page.evaluate(
        "theme => jupyterapp.commands.execute('apputils:change-theme', { theme })", f"JupyterLab {name.title()}"
    )
    page.wait_for_function("light => document.body.dataset.jpThemeLight === light", arg=str(name == "light").lower())


@pytest.mark.parametrize(
    ("name", "looks"),
    [(path.name, amount(turn, quick=turn, every=EVERY)) for path, turn in zip(PAGES, BY_TURNS, strict=False)],
    ids=[path.stem for path in PAGES],
)
def test_the_engine_finds_nothing_in_what_is_ours(
    lab: Lab, name: str, looks: tuple[tuple[str, str], ...]
) -> None:
    """Names, roles, contrasts, order, and what speaks."""
    page = lab.open_page(name)
    found = []
    for size, theme in looks:
        page.set_viewport_size(SIZES[size])  # type: ignore[arg-type]  # a dict of two numbers is what it asks for
        choose_theme(page, theme)
        found += [f"{size}, {theme}: {row}" for row in violations(page)]
    choose_theme(page, "light")
    assert not found, "\n".join(found)
