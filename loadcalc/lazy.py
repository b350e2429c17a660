"""Public names of a package that load on first use (PEP 562), listed once: in the imports that a type checker reads."""

from __future__ import annotations

import ast
import sys
from collections.abc import Callable
from importlib import import_module
from typing import Any


def lazily(package: str) -> tuple[list[str], Callable[[str], Any], Callable[[], list[str]]]:
    """Offer what a package imports under `if TYPE_CHECKING`, without importing any of it yet.

    An editor and mypy follow the imports; Python never runs them. So they are read here, as text, and each name
    is fetched from the module that it would have come from when somebody first asks for it.

    Parameters
    ----------
    package : name of the package, whose `__init__.py` calls this

    Returns
    -------
    tuple: the package's `__all__`, `__getattr__`, and `__dir__`
    """
    module = sys.modules[package]
    with open(str(module.__file__), encoding="utf-8") as file:  # pathlib would cost more than all the rest
        home = _homes(file.read())

    def fetch(name: str) -> Any:
        if name not in home:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        value = getattr(import_module(home[name]), name)
        setattr(module, name, value)
        return value

    return sorted(home), fetch, lambda: sorted({*vars(module), *home})


def _homes(source: str) -> dict[str, str]:
    """Which module each name comes from, by the imports of the block for type checkers."""
    blocks = (node for node in ast.parse(source).body if isinstance(node, ast.If))
    block = next(node for node in blocks if ast.unparse(node.test) == "TYPE_CHECKING")
    imports = [node for node in block.body if isinstance(node, ast.ImportFrom)]
    return {alias.name: str(node.module) for node in imports for alias in node.names}
