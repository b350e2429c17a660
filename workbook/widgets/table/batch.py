"""From one message of the browser to edits for the owner, and from the owner's answer back to the sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from workbook.widgets.table.paste import LARGEST_BLOCK_ROWS, parse_block, understood
from workbook.widgets.table.records import Edit, Refusal, Text
from workbook.widgets.table.sheet import WHOLE_ROW, Sheet


@dataclass(slots=True)
class Batch:
    """What one message asks for.

    edits: for the owner; refusals: cells the table itself can't read; touched: drafts to offer to the owner;
    new_row: the draft that the keyboard should go to; words: what to say about the message itself;
    lost: edits of rows that are gone; left_out: pasted cells with no place; pasted: it is a block.
    set_rows, set_column, set_text: so many picked rows get this text in this column; all_set: each of them took it.
    takes_back: "undo" or "redo", of what the page did last.
    """

    edits: list[Edit] = field(default_factory=list)
    refusals: list[Refusal] = field(default_factory=list)
    touched: dict[str, None] = field(default_factory=dict)
    new_row: str = ""
    words: list[str] = field(default_factory=list)
    added: int = 0
    lost: int = 0
    left_out: int = 0
    pasted: bool = False
    set_rows: int = 0
    set_column: str = ""
    set_text: Text = ""
    all_set: bool = False
    takes_back: str = ""


def read(sheet: Sheet, wishes: Sequence[Mapping[str, Any]], *, can_add: bool = True) -> Batch:
    """Turn the wishes of one message into edits. Drafts are made and filled in on the way."""
    batch = Batch()
    for wish in wishes:
        kind, key = str(wish.get("kind", "")), sheet.current_key(str(wish.get("row", "")))
        column = str(wish.get("column", ""))
        if kind in ("undo", "redo"):
            batch.takes_back = kind
        elif kind == "set-rows":
            _set_rows(sheet, batch, [sheet.current_key(str(one)) for one in wish.get("rows", [])], column, wish)
        elif kind == "add":
            batch.new_row = _touch(batch, sheet.new_draft("add"))
        elif key not in sheet:
            batch.lost += 1
        elif kind == "set":
            _set(sheet, batch, key, column, wish.get("text", ""))
        elif kind == "duplicate":
            batch.new_row = _touch(batch, sheet.new_draft("duplicate", key))
        elif kind == "remove":
            _remove(sheet, batch, key)
        elif kind == "restore":
            _restore(sheet, batch, key, column)
        elif kind == "paste":
            order = [sheet.current_key(str(other)) for other in wish.get("order", [])]
            _paste(sheet, batch, order, column, str(wish.get("text", "")), can_add=can_add)
    for key in batch.touched:
        _offer(sheet, batch, key)
    return batch


def _touch(batch: Batch, key: str) -> str:
    batch.touched[key] = None
    return key


def _set(sheet: Sheet, batch: Batch, key: str, name: str, raw: Text) -> None:
    column = sheet.column(name)
    if column is None or column.kind == "read-only":
        batch.left_out += bool(raw)
        return
    text, reason = understood(column, raw)
    if key in sheet.drafts:
        sheet.drafts[key].typed[name] = text
        _touch(batch, key)
    elif reason:
        batch.refusals.append(Refusal(row_key=key, column=name, text=text, reason=reason))
    elif text == sheet.rows[key][name]:
        sheet.clear(key, name)  # nothing changes, so there is nothing to undo and no rounding to drift
    else:
        batch.edits.append(Edit(kind="set", row_key=key, column=name, text=text, pasted=batch.pasted))


def _set_rows(sheet: Sheet, batch: Batch, keys: Sequence[str], name: str, wish: Mapping[str, Any]) -> None:
    """Give one column of several rows the same text, as one call."""
    there = [key for key in keys if key in sheet.rows]
    batch.lost += len(keys) - len(there)
    batch.set_rows, batch.set_column, batch.set_text = len(there), name, wish.get("text", "")
    for key in there:
        _set(sheet, batch, key, name, batch.set_text)


def _remove(sheet: Sheet, batch: Batch, key: str) -> None:
    if key in sheet.drafts:
        sheet.drop(key)
        batch.words.append("New row taken away; it was never saved.")
    else:
        batch.edits.append(Edit(kind="remove", row_key=key))


def _restore(sheet: Sheet, batch: Batch, key: str, name: str) -> None:
    sheet.clear(key, name, WHOLE_ROW)
    draft = sheet.drafts.get(key)
    column = sheet.column(name)
    if draft and column:
        draft.typed[name] = draft.good.get(name, column.blank())
        _touch(batch, key)


def _paste(sheet: Sheet, batch: Batch, order: list[str], first: str, text: str, *, can_add: bool) -> None:
    """Fill a block right and down from its first cell; what lies below the last row becomes new rows."""
    block = parse_block(text)
    names = [column.key for column in sheet.columns]
    if len(block) > LARGEST_BLOCK_ROWS or first not in names:
        batch.words.append(
            f"Not pasted: {len(block)} rows are more than the {LARGEST_BLOCK_ROWS} that go in at once."
        )
        return
    batch.pasted = True
    names = names[names.index(first) :]
    for place, cells in enumerate(block):
        batch.left_out += sum(map(bool, cells[len(names) :]))
        if place < len(order):
            key = order[place]
        elif not any(cells):
            continue
        elif can_add:
            key = _touch(batch, sheet.new_draft("add"))
        else:
            batch.left_out += sum(map(bool, cells[: len(names)]))
            continue
        if key not in sheet:
            batch.lost += 1
            continue
        for name, cell in zip(names, cells, strict=False):
            _set(sheet, batch, key, name, cell)


def _offer(sheet: Sheet, batch: Batch, key: str) -> None:
    """Offer a draft to the owner, unless it holds a cell that the table itself can't read."""
    draft = sheet.drafts.get(key)
    if draft is None:
        return
    cells: dict[str, Text] = {}
    doubts: list[Refusal] = []
    for column in sheet.editable():
        typed = draft.typed.get(column.key, column.blank())
        text, reason = understood(column, typed) if typed != "" else (typed, "")
        cells[column.key] = text
        if reason:
            doubts.append(Refusal(row_key=key, column=column.key, text=text, reason=reason))
    batch.refusals.extend(doubts)
    if not doubts:
        source, pasted = draft.source_key, batch.pasted
        batch.edits.append(Edit(kind=draft.kind, row_key=key, cells=cells, source_key=source, pasted=pasted))


def refuse_all(edits: Sequence[Edit], reason: str) -> list[Refusal]:
    """One refusal for each edit: the owner failed, so nothing is known to be saved."""
    cells = [(edit.row_key, edit.column if edit.kind == "set" else WHOLE_ROW, edit.text) for edit in edits]
    return [Refusal(row_key=key, column=column, text=text, reason=reason) for key, column, text in cells]


def settle(sheet: Sheet, batch: Batch, answers: Sequence[Refusal], before: set[str], *, shown: bool) -> None:
    """Carry the owner's answer into the sheet.

    answers: the owner's refusals; before: row keys ahead of the call;
    shown: the owner has called show() meanwhile. When it hasn't, accepted texts stand as typed until it does.
    """
    refusals = {(answer.row_key, answer.column): answer for answer in [*answers, *batch.refusals]}
    rows_refused = {key for key, _ in refusals}
    accepted = []
    for edit in batch.edits:
        if edit.kind == "set" and (edit.row_key, edit.column) not in refusals:
            sheet.clear(edit.row_key, edit.column, WHOLE_ROW)
            if not shown and edit.row_key in sheet.rows:
                sheet.rows[edit.row_key][edit.column] = edit.text
        elif edit.kind == "remove" and edit.row_key not in rows_refused and not shown:
            sheet.drop(edit.row_key)
        elif edit.kind in ("add", "duplicate") and edit.row_key not in rows_refused:
            accepted.append(edit)
    typed = {(edit.row_key, edit.column): edit.text for edit in batch.edits if edit.kind == "set"}
    for key in batch.touched:
        sheet.clear(key, *list(sheet.refused.get(key, {})))
    batch.all_set = bool(batch.set_rows) and not refusals
    for (key, column), answer in refusals.items() if not batch.set_rows else ():
        draft = sheet.drafts.get(key)
        now = draft.typed.get(column, "") if draft else sheet.rows.get(key, {}).get(column, "")
        text = typed.get((key, column), now if draft or not answer.text else answer.text)
        sheet.refuse(key, column, text, answer.reason)
    for key in batch.touched:
        _keep_good(sheet, key)
    _adopt(sheet, accepted, before, shown=shown)


def _keep_good(sheet: Sheet, key: str) -> None:
    draft = sheet.drafts.get(key)
    if draft:
        bad = sheet.refused.get(key, {})
        draft.good.update({name: text for name, text in draft.typed.items() if name not in bad})


def _adopt(sheet: Sheet, accepted: Sequence[Edit], before: set[str], *, shown: bool) -> None:
    """End the drafts that the owner accepted; learn which row each became, so that typing goes on in it."""
    for edit in accepted:
        sheet.drafts.pop(edit.row_key, None)
        if not shown:
            blank = {column.key: column.blank() for column in sheet.columns}
            sheet.rows[edit.row_key] = blank | dict(edit.cells)
    unnamed = [edit.row_key for edit in accepted if edit.row_key not in sheet.became | sheet.rows]
    taken = set(sheet.became.values())
    new = [key for key in sheet.rows if key not in before and key not in taken]
    if len(new) == len(unnamed):
        sheet.became.update(zip(unnamed, new, strict=True))


def report(sheet: Sheet, batch: Batch, refusals: Sequence[Refusal], names: Mapping[str, str]) -> str:
    """What the table says after a message, in words. names: row names from before the owner's answer."""
    words = list(batch.words)
    bad = {(refusal.row_key, refusal.column): refusal for refusal in [*refusals, *batch.refusals]}
    new = [key for key in batch.touched if key in sheet.drafts]
    if batch.pasted:
        sets = [edit for edit in batch.edits if edit.kind == "set"]
        good = sum((edit.row_key, edit.column) not in bad for edit in sets)
        rows = len(batch.touched) - len(new)
        words.append(f"Pasted: {_count(good, 'cell')} changed, {_count(rows, 'new row')} saved.")
    if batch.set_rows:
        return " ".join([*words, _rows_set(sheet, batch, bad.values(), names)])
    for edit in batch.edits:
        if edit.kind == "remove" and (edit.row_key, WHOLE_ROW) not in bad:
            words.append(f"Removed row {names.get(edit.row_key, '')}.")
    cells = [refusal for key, refusal in bad.items() if key[0] not in new]
    if len(cells) == 1 and not batch.pasted:
        column = sheet.column(cells[0].column)
        where = f"{column.title}, row" if column else "Row"
        words.append(f"Not saved: {where} {names.get(cells[0].row_key, '')}: {cells[0].reason}")
    elif cells:
        words.append(f"{_count(len(cells), 'cell')} not saved: see the lines marked !.")
    if new:
        words.append(f"{_count(len(new), 'new row')} not saved yet: see what is needed below the row.")
    if batch.lost:
        words.append("Not saved: that row is no longer in the table.")
    if batch.left_out:
        left_out = _count(batch.left_out, "pasted cell")
        words.append(f"{left_out} left out: past the edge, or in a column that is worked out.")
    return " ".join(words)


def _rows_set(sheet: Sheet, batch: Batch, bad: Iterable[Refusal], names: Mapping[str, str]) -> str:
    """What became of one column of the picked rows."""
    column = sheet.column(batch.set_column)
    reasons: dict[str, dict[str, str]] = {}
    for refusal in bad:
        reasons.setdefault(refusal.reason, {})[refusal.row_key] = names.get(refusal.row_key, "")
    good = batch.set_rows - len({key for named in reasons.values() for key in named})
    title = column.title if column else "Nothing"
    words = [f"{title} of {_count(good, 'row')} set to {batch.set_text or 'nothing'}."] if good else []
    for reason, named in reasons.items():
        more = f" and {len(named) - 3} more" if len(named) > 3 else ""
        words.append(f"Not set: {', '.join([*named.values()][:3])}{more}: {reason}")
    if batch.lost:
        words.append(f"{_count(batch.lost, 'row')} no longer in the table.")
    return " ".join(words)


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"
