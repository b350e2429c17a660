"""The workshop guide's bold names: each is a page, or stands in the source of the page named before it."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from functools import cache

import pytest

from loadcalc.model import (
    Item,
    Liquid,
    Zone,
)
from loadcalc.season import Season
from tests.season_help import ROOT, demo_season
from tests.workshop_text import (
    GUIDE,
    SECTIONS,
)

# The labels: every bold name is a page, or stands in the source of the page named before it

HOLE = "\0"  # where an f-string puts a value
# names of ratings and markings, which pages offer
CHOICES = ("loadcalc.model.limits", "loadcalc.model.vehicle", "loadcalc.checks.ratings.tires")


@cache
def module(name: str) -> tuple[frozenset[str], frozenset[str]]:
    """The texts that one module writes, and the modules of ours that it imports."""
    base = ROOT.joinpath(*name.split("."))
    file = base / "__init__.py" if base.is_dir() else base.with_suffix(".py")
    return read_source(file.read_text(encoding="utf-8")) if file.is_file() else (frozenset(), frozenset())


def read_source(source: str) -> tuple[frozenset[str], frozenset[str]]:
    """The texts and the imports of a piece of Python."""
    texts, imports = set(), set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            texts.add(node.value)
        elif isinstance(node, ast.JoinedStr):
            parts = (p.value if isinstance(p, ast.Constant) else HOLE for p in node.values)
            texts.add("".join(map(str, parts)))
        elif isinstance(node, ast.ImportFrom) and node.module == "workbook.panels":
            imports |= {exported().get(alias.name, f"workbook.panels.{alias.name}") for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("workbook."):
            imports |= {str(node.module), *(f"{node.module}.{alias.name}" for alias in node.names)}
    return frozenset(texts), frozenset(imports)


@cache
def exported() -> dict[str, str]:
    """Where each name lives that `workbook.panels` hands on."""
    tree = ast.parse((ROOT / "workbook" / "panels" / "__init__.py").read_text(encoding="utf-8"))
    return {a.name: str(n.module) for n in tree.body if isinstance(n, ast.ImportFrom) for a in n.names}


@cache
def labels(page: str) -> frozenset[str]:
    """What a page can show: its headings, and the texts of the panels that it opens, one under another."""
    cells = json.loads((ROOT / "workbook" / page).read_text(encoding="utf-8"))["cells"]
    sources = [(cell["cell_type"], "".join(cell["source"])) for cell in cells]
    texts = {line.lstrip("# ") for kind, text in sources if kind == "markdown" for line in text.splitlines()}
    texts |= {text for name in CHOICES for text in module(name)[0]}
    todo = {name for kind, text in sources if kind == "code" for name in read_source(text)[1]}
    done: set[str] = set()
    while todo:
        name = todo.pop()
        done.add(name)
        written, imports = module(name)
        texts |= written
        todo |= imports - done
    return frozenset(texts)


def bold_names() -> Iterator[tuple[str, str]]:
    """Each bold name with the page that was named before it in its section, "" for none."""
    for text in SECTIONS.values():
        page = ""
        for name in re.findall(r"\*\*(.+?)\*\*", text, flags=re.DOTALL):
            plain = " ".join(name.split())
            page = plain if plain.endswith(".ipynb") else page
            yield page, plain


def stands_in(name: str, texts: frozenset[str]) -> bool:
    """Whether a label is one of the texts, or one with values filled in; a slider's ends with its unit."""
    wanted = {name, re.sub(r", (lb|gal|in|psi)$", "", name)}
    patterns = (text for text in texts if HOLE in text and len(text.replace(HOLE, "")) >= 8)
    return bool(wanted & texts) or any(
        re.fullmatch(".+".join(map(re.escape, pattern.split(HOLE))), one)
        for pattern in patterns
        for one in wanted
    )


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Season]:
    """The demo season."""
    with demo_season(tmp_path_factory.mktemp("guide"), durable=False) as opened:
        yield opened


@pytest.mark.parametrize(("page", "name"), sorted(set(bold_names()) - {("", "bold")}))
def test_each_bold_name_is_on_its_page(season: Season, page: str, name: str) -> None:
    """A page that is there, a label in the source of the panels that the page opens, or a name of the demo."""
    if name.endswith(".ipynb"):
        assert (ROOT / "workbook" / name).is_file()
        return
    things: list[Item | Liquid | Zone] = [*season.gear, *season.liquids, *season.zones]
    named = {thing.name for thing in things} | {*season.loadout_names}
    anywhere = name in named or (not page and name == "Undo")
    assert anywhere or stands_in(name, labels(page))


def test_a_label_that_is_not_there_is_found() -> None:
    """A label that was renamed, that is another page's, or that only looks like one of a pattern."""
    page = "04-stability.ipynb"
    assert stands_in("Rear tires, on the trail, psi", labels(page))
    assert stands_in("Trailer is hitched", labels(page))
    assert not stands_in("Rear tires, in the sand, psi", labels(page))
    assert not stands_in("Trailer is hitched up", labels(page))
    assert not stands_in("Make a zip of the whole season", labels(page))


def test_every_page_number_in_words_is_a_page() -> None:
    """ "page 07" and the like."""
    found = set(re.findall(r"page (\d\d)\b", GUIDE))
    assert found
    assert all(list((ROOT / "workbook").glob(f"{number}-*.ipynb")) for number in found)
