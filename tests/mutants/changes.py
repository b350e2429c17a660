"""Every small change that can be made in a file: an operator, a comparison, a sign, a constant by 1 %."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate
from pathlib import Path
from typing import Any

SWAPS: dict[type[ast.AST], type[Any]] = {}
for one, other in (
    (ast.Add, ast.Sub), (ast.Mult, ast.Div), (ast.And, ast.Or), (ast.Eq, ast.NotEq), (ast.Is, ast.IsNot),
    (ast.In, ast.NotIn), (ast.Lt, ast.LtE), (ast.Gt, ast.GtE),
):  # fmt: skip
    SWAPS |= {one: other, other: one}
SWAPS |= {ast.FloorDiv: ast.Div, ast.Pow: ast.Mult}
EXTREMES = {"min": "max", "max": "min"}
UNTOUCHED = {"annotation", "returns", "decorator_list", "slice"}  # fields: types, and places in a sequence
WHOLE_NUMBERS = {"range", "round"}  # what is handed to them counts things or digits
GUARD = 1e-6  # a smaller constant only guards against rounding
ORDERS = ast.Lt | ast.LtE | ast.Gt | ast.GtE


@dataclass(frozen=True, kw_only=True)
class Change:
    """One change: the file as it then reads, and the line that differs."""

    path: Path
    line: int
    was: str
    text: str
    source: bytes


def changes(path: Path) -> Iterator[Change]:
    """All changes of a file, in the order of its lines."""
    source = path.read_bytes()
    starts = [0, *accumulate(len(line) for line in source.splitlines(keepends=True))]
    for node in _nodes(ast.parse(source)):
        start = starts[node.lineno - 1] + node.col_offset
        stop = starts[(node.end_lineno or 0) - 1] + (node.end_col_offset or 0)
        for changed in _changed(node):
            text = ast.unparse(changed)
            new = text if isinstance(changed, ast.AugAssign) else f"({text})"  # binds as the old one did
            whole = source[:start] + new.encode() + source[stop:]
            line = whole.splitlines()[node.lineno - 1].decode().strip()
            yield Change(path=path, line=node.lineno, was=ast.unparse(node), text=line, source=whole)


def _nodes(node: ast.AST) -> Iterator[ast.expr | ast.AugAssign]:
    """What may be changed: not the words of errors, no type, no text."""
    if isinstance(node, ast.Raise | ast.JoinedStr):
        return
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in WHOLE_NUMBERS:
        node.args = [arg for arg in node.args if not isinstance(arg, ast.Constant)]
    if isinstance(node, ast.expr | ast.AugAssign):
        yield node
    for field, value in ast.iter_fields(node):
        for child in value if isinstance(value, list) else [value]:
            if field not in UNTOUCHED and isinstance(child, ast.AST):
                yield from _nodes(child)


def _changed(node: ast.expr | ast.AugAssign) -> Iterator[ast.expr | ast.AugAssign]:
    """The node with one thing in it changed, for each thing that can be."""
    match node:
        case ast.BinOp(op=op, left=left, right=right) if type(op) in SWAPS:
            if not any(isinstance(side, ast.JoinedStr | ast.Tuple | ast.List) for side in (left, right)):
                yield ast.BinOp(left, SWAPS[type(op)](), right)
        case ast.AugAssign(target=target, op=op, value=value) if type(op) in SWAPS:
            yield ast.AugAssign(target, SWAPS[type(op)](), value)
        case ast.BoolOp(op=op, values=values):
            yield ast.BoolOp(SWAPS[type(op)](), values)
        case ast.Compare(left=left, ops=ops, comparators=comparators):
            for i, old in enumerate(ops):
                if isinstance(old, ORDERS) and any(map(_guards, ast.walk(node))):
                    continue  # the guard decides between equal and less
                yield ast.Compare(left, [*ops[:i], SWAPS[type(old)](), *ops[i + 1 :]], comparators)
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            yield operand
        case ast.Call(func=ast.Name(id=name), args=args, keywords=keywords) if name in EXTREMES:
            yield ast.Call(ast.Name(EXTREMES[name]), args, keywords)
        case ast.Constant(value=int() | float() as value) if type(value) is not bool and not _guards(node):
            if value:
                yield ast.Constant(round(value * 1.01, 12))


def _guards(node: ast.AST) -> bool:
    """Whether it is a guard against rounding, by its name or by how small it is."""
    match node:
        case ast.Name(id="ROUNDING") | ast.Attribute(attr="ROUNDING"):
            return True
        case ast.Constant(value=float() as value):
            return 0 < abs(value) < GUARD
    return False
