"""The editable table, without a browser: messages in, edits to the owner, what is shown back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

from workbook.widgets.table.paste import LARGEST_BLOCK_ROWS, parse_block, understood
from workbook.widgets.table.table import Column, Edit, EditTable, Refusal

COLUMNS = (
    Column(key="name", title="Item", kind="text"),
    Column(key="mass", title="Mass each", kind="number", hint="One piece, such as 38 lb"),
    Column(key="zone", title="Zone", kind="choice", choices=("Cab", "Bed", "Roof")),
    Column(key="spare", title="Spare", kind="tick"),
    Column(key="total", title="Total", kind="read-only", align="right"),
)


class Owner:
    """A small owner of a table: names must be given, masses are whole numbers of pounds."""

    def __init__(self) -> None:
        self.rows: dict[str, dict[str, Any]] = {
            "i1": {"name": "Chainsaw", "mass": "12 lb", "zone": "Bed", "spare": False, "total": "12 lb"},
            "i2": {"name": "Rope", "mass": "5 lb", "zone": "Cab", "spare": True, "total": "5 lb"},
            "i3": {"name": "Axe", "mass": "6 lb", "zone": "Bed", "spare": False, "total": "6 lb"},
        }
        self.calls: list[list[Edit]] = []
        self.silent = False
        self.fault: Exception | None = None
        self.table = EditTable(
            label="Gear",
            columns=COLUMNS,
            rows=[*self.rows.values()],
            row_keys=[*self.rows],
            on_edit=self.on_edit,
        )
        self.sent = 0

    def refusal(self, key: str, column: str, text: str | bool) -> Refusal | None:
        """What is wrong with one cell, if anything."""
        if column == "name" and not text:
            return Refusal(row_key=key, column="name", reason="Give the item a name.")
        if column == "mass" and not str(text).removesuffix(" lb").isdigit():
            return Refusal(row_key=key, column="mass", reason=f"“{text}” is not a mass. Write 38 lb.")
        return None

    def on_edit(self, edits: list[Edit]) -> Sequence[Refusal]:
        """Apply what is good, refuse the rest, show the rows."""
        self.calls.append(edits)
        if self.fault:
            raise self.fault
        refusals = []
        for edit in edits:
            if edit.kind == "set":
                bad = [self.refusal(edit.row_key, edit.column, edit.text)]
            else:
                bad = [self.refusal(edit.row_key, name, text) for name, text in edit.cells.items()]
            found = [refusal for refusal in bad if refusal]
            refusals += found
            if not found:
                self.apply(edit)
        if not self.silent:
            self.table.show([*self.rows.values()], [*self.rows])
        return refusals

    def apply(self, edit: Edit) -> None:
        """Change the records."""
        if edit.kind == "remove":
            del self.rows[edit.row_key]
            return
        key = edit.row_key if edit.kind == "set" else f"i{len(self.rows) + 1}"
        cells = {edit.column: edit.text} if edit.kind == "set" else dict(edit.cells)
        row = self.rows.setdefault(key, {"total": ""})
        row.update(cells)
        row["mass"] = row["total"] = f"{str(row['mass']).removesuffix(' lb')} lb"

    def say(self, *wishes: dict[str, Any], view: str = "v") -> None:
        """Send one message, as the browser does."""
        self.sent += 1
        self.table._handle_custom_msg({"view": view, "batch": self.sent, "edits": list(wishes)}, [])

    def set(self, row: str, column: str, text: str | bool) -> None:
        """Commit one cell."""
        self.say({"kind": "set", "row": row, "column": column, "text": text})

    def paste(self, row: str, column: str, text: str, order: Sequence[str]) -> None:
        """Paste a block at a cell, with the rows visible from there on."""
        self.say({"kind": "paste", "row": row, "column": column, "text": text, "order": list(order)})

    @property
    def report(self) -> str:
        """What the table says below the rows."""
        return str(self.table._shown["report"])

    def shown(self, key: str) -> dict[str, Any]:
        """One row as the browser sees it, cells by column key."""
        row = next(row for row in self.table._shown["rows"] if row["key"] == key)
        cells = dict(zip([column.key for column in COLUMNS], row["cells"], strict=True))
        return {"refused": {}, "draft": False} | row | {"cells": cells}

    def keys(self) -> list[str]:
        """The rows shown, from top to bottom."""
        return [row["key"] for row in self.table._shown["rows"]]


@pytest.fixture
def owner() -> Owner:
    """Three rows of gear behind a table."""
    return Owner()


def test_accepted_cell_shows_the_text_that_the_owner_gives_back(owner: Owner) -> None:
    """A typed "38" comes back as "38 lb", in one call with one edit."""
    owner.set("i1", "mass", "38")

    assert owner.calls == [[Edit(kind="set", row_key="i1", column="mass", text="38")]]
    assert owner.shown("i1")["cells"]["mass"] == "38 lb"
    assert owner.shown("i1")["refused"] == {}


def test_refused_cell_keeps_the_typed_text_and_the_reason(owner: Owner) -> None:
    """What was typed stays beside the last good text, and nothing is applied."""
    owner.set("i1", "mass", "abc")

    assert owner.rows["i1"]["mass"] == "12 lb"
    assert owner.shown("i1")["cells"]["mass"] == "12 lb"
    assert owner.shown("i1")["refused"] == {"mass": ["abc", "“abc” is not a mass. Write 38 lb."]}
    assert owner.report == "Not saved: Mass each, row Chainsaw: “abc” is not a mass. Write 38 lb."


def test_correcting_a_refused_cell_clears_the_reason(owner: Owner) -> None:
    """A good text after a bad one leaves no mark."""
    owner.set("i1", "mass", "abc")
    owner.set("i1", "mass", "40")

    assert owner.shown("i1")["refused"] == {}
    assert owner.report == ""


def test_restore_brings_the_good_text_back_without_an_edit(owner: Owner) -> None:
    """Escape is not an edit: the owner hears nothing of it."""
    owner.set("i1", "mass", "abc")
    owner.say({"kind": "restore", "row": "i1", "column": "mass"})

    assert owner.shown("i1")["refused"] == {}
    assert len(owner.calls) == 1


def test_retyping_the_text_that_stands_is_not_an_edit(owner: Owner) -> None:
    """No empty step to undo, no drift of rounded texts; an older refusal ends."""
    owner.set("i1", "mass", "abc")
    owner.set("i1", "mass", "12 lb")

    assert len(owner.calls) == 1
    assert owner.shown("i1")["refused"] == {}


def test_read_only_cell_is_never_set(owner: Owner) -> None:
    """A message that sets a worked-out column reaches nobody."""
    owner.set("i1", "total", "1 lb")

    assert owner.calls == []
    assert owner.shown("i1")["cells"]["total"] == "12 lb"


def test_edit_of_a_row_that_is_gone_says_so(owner: Owner) -> None:
    """A late edit for a removed row is reported, not applied to another row."""
    owner.table.show([], [])
    owner.set("i1", "mass", "40")

    assert owner.calls == []
    assert owner.report == "Not saved: that row is no longer in the table."


def test_outside_change_keeps_refused_text_while_its_row_is_there(owner: Owner) -> None:
    """A switch of units leaves the pending text; removing the row forgets it."""
    owner.set("i1", "mass", "abc")
    kilograms = [{**row, "mass": "5 kg"} for row in owner.rows.values()]
    owner.table.show(kilograms, [*owner.rows])

    assert owner.shown("i1")["refused"]["mass"][0] == "abc"
    assert owner.shown("i1")["cells"]["mass"] == "5 kg"

    owner.table.show(kilograms[1:], ["i2", "i3"])
    owner.table.show(kilograms, ["i1", "i2", "i3"])
    assert owner.shown("i1")["refused"] == {}


def test_columns_can_change(owner: Owner) -> None:
    """show() takes other columns; a refusal in a column that is gone goes with it."""
    owner.set("i1", "mass", "abc")
    owner.table.show([{"name": "Chainsaw"}], ["i1"], columns=COLUMNS[:1])

    assert [column["title"] for column in owner.table._shown["columns"]] == ["Item"]
    assert owner.table._shown["rows"] == [{"key": "i1", "cells": ["Chainsaw"]}]


def test_failing_owner_saves_nothing_and_keeps_the_typed_text(owner: Owner) -> None:
    """An exception becomes "Not saved: ..." and the cell is marked with its message."""
    owner.fault = RuntimeError("the ledger is locked")
    owner.set("i1", "mass", "40")

    assert owner.report == "Not saved: the ledger is locked"
    assert owner.shown("i1")["refused"] == {"mass": ["40", "the ledger is locked"]}
    assert owner.table.last_error is owner.fault

    owner.fault = None
    owner.set("i1", "mass", "40")
    assert owner.shown("i1")["cells"]["mass"] == "40 lb"
    assert owner.report == ""


def test_failing_owner_keeps_removed_and_added_rows(owner: Owner) -> None:
    """A row whose removal failed stays with a reason; a new row stays a draft."""
    owner.fault = RuntimeError("the ledger is locked")
    owner.say({"kind": "remove", "row": "i2"}, {"kind": "add"})

    assert owner.shown("i2")["refused"][""] == ["", "the ledger is locked"]
    assert owner.shown("draft-1")["refused"][""] == ["", "the ledger is locked"]


def test_one_column_of_picked_rows_is_one_call(owner: Owner) -> None:
    """Two rows in one call; a refused value marks no cell; a row that is gone meanwhile is said."""
    owner.say({"kind": "set-rows", "rows": ["i1", "i2"], "column": "mass", "text": "40"})
    assert [owner.shown(key)["cells"]["mass"] for key in ("i1", "i2")] == ["40 lb", "40 lb"]
    assert owner.report == f"{owner.table._sheet.columns[1].title} of 2 rows set to 40."
    assert owner.table._shown["answered"]["v"]["all_set"] is True

    owner.say({"kind": "set-rows", "rows": ["i1", "i2", "gone"], "column": "mass", "text": "heavy"})
    assert owner.shown("i1")["refused"] == {}
    assert owner.report.startswith("Not set: ")
    assert owner.report.endswith(" 1 row no longer in the table.")
    assert owner.table._shown["answered"]["v"]["all_set"] is False


def test_new_row_stays_a_draft_until_it_is_complete(owner: Owner) -> None:
    """A row without name and mass is kept with both reasons, fills up, and then becomes the owner's row."""
    owner.say({"kind": "add"})
    assert owner.keys() == ["i1", "i2", "i3", "draft-1"]
    assert set(owner.shown("draft-1")["refused"]) == {"name", "mass"}
    assert owner.table._shown["answered"]["v"] == {"batch": 1, "row": "draft-1", "all_set": False}

    owner.set("draft-1", "name", "Tarp")
    assert set(owner.shown("draft-1")["refused"]) == {"mass"}

    owner.set("draft-1", "mass", "heavy")
    assert owner.shown("draft-1")["refused"]["mass"][0] == "heavy"
    assert owner.shown("draft-1")["cells"]["name"] == "Tarp"

    owner.set("draft-1", "mass", "4")
    assert owner.keys() == ["i1", "i2", "i3", "i4"]
    assert owner.rows["i4"]["name"] == "Tarp"
    assert owner.calls[-1][0].cells == {"name": "Tarp", "mass": "4", "zone": "", "spare": False}


def test_typing_for_a_draft_that_was_just_accepted_reaches_its_row(owner: Owner) -> None:
    """A slow answer can't lose the next cell: the old key still finds the row."""
    owner.say({"kind": "add"})
    owner.set("draft-1", "name", "Tarp")
    owner.set("draft-1", "mass", "4")
    owner.set("draft-1", "zone", "Roof")

    assert owner.table._shown["became"] == {"draft-1": "i4"}
    assert owner.rows["i4"]["zone"] == "Roof"


def test_owner_may_name_what_a_draft_became(owner: Owner) -> None:
    """show(became=...) wins over the order of new rows."""

    def on_edit(edits: list[Edit]) -> None:
        names = [{"name": "B"}, {"name": "A"}]
        owner.table.show(names, ["b", "a"], became={edits[0].row_key: "a", edits[1].row_key: "b"})

    owner.table._on_edit = on_edit
    owner.say({"kind": "add"}, {"kind": "add"})

    assert owner.table._shown["became"] == {"draft-1": "a", "draft-2": "b"}


def test_removed_draft_is_never_mentioned_to_the_owner(owner: Owner) -> None:
    """Taking a draft away is the table's own business."""
    owner.say({"kind": "add"})
    owner.say({"kind": "remove", "row": "draft-1"})

    assert owner.keys() == ["i1", "i2", "i3"]
    assert len(owner.calls) == 1


def test_escape_in_a_draft_goes_back_to_its_last_good_text(owner: Owner) -> None:
    """A refused text of a draft is taken back to the one before it."""
    owner.say({"kind": "add"})
    owner.set("draft-1", "mass", "4")
    owner.set("draft-1", "mass", "abc")
    owner.say({"kind": "restore", "row": "draft-1", "column": "mass"})

    assert owner.shown("draft-1")["cells"]["mass"] == "4"
    assert set(owner.shown("draft-1")["refused"]) == {"name"}


def test_duplicate_copies_the_editable_cells(owner: Owner) -> None:
    """The copy is offered as one edit that names its source."""
    owner.say({"kind": "duplicate", "row": "i2"})

    edit = owner.calls[-1][0]
    assert (edit.kind, edit.source_key, edit.cells["name"]) == ("duplicate", "i2", "Rope")
    assert "total" not in edit.cells
    assert owner.keys() == ["i1", "i2", "i3", "i4"]
    assert owner.table._shown["answered"]["v"]["row"] == "i4"


def test_remove_is_reported_by_name(owner: Owner) -> None:
    """The person reads which row went."""
    owner.say({"kind": "remove", "row": "i2"})

    assert owner.keys() == ["i1", "i3"]
    assert owner.report == "Removed row Rope."


def test_owner_may_refuse_a_removal(owner: Owner) -> None:
    """A refusal of the whole row keeps the row, with the reason."""
    refusal = Refusal(row_key="i2", column="", reason="Rope holds the roof box down.")
    owner.table._on_edit = lambda edits: [refusal]
    owner.say({"kind": "remove", "row": "i2"})

    assert owner.keys() == ["i1", "i2", "i3"]
    assert owner.shown("i2")["refused"] == {"": ["", "Rope holds the roof box down."]}


def test_pasted_block_is_one_call_in_visible_order(owner: Owner) -> None:
    """Cells fill right and down in the order on screen, one call for the block."""
    owner.paste("i3", "mass", "7\tRoof\tyes\n8\tCab\tno\n", order=["i3", "i1"])

    assert len(owner.calls) == 1
    assert all(edit.pasted for edit in owner.calls[0])
    assert [owner.rows["i3"][name] for name in ("mass", "zone", "spare")] == ["7 lb", "Roof", True]
    assert [owner.rows["i1"][name] for name in ("mass", "zone", "spare")] == ["8 lb", "Cab", False]
    assert owner.rows["i2"]["mass"] == "5 lb"


def test_pasted_block_applies_good_cells_and_keeps_bad_ones(owner: Owner) -> None:
    """One bad mass and one unknown zone stay on screen with reasons; the rest is saved."""
    owner.paste("i1", "mass", "7\troof\nheavy\tTrailer\n9\tCab", order=["i1", "i2", "i3"])

    assert owner.rows["i1"]["zone"] == "Roof"
    assert owner.rows["i3"]["mass"] == "9 lb"
    assert owner.shown("i2")["refused"] == {
        "mass": ["heavy", "“heavy” is not a mass. Write 38 lb."],
        "zone": ["Trailer", "“Trailer” is not one of the choices: Cab, Bed, Roof."],
    }
    assert owner.report == (
        "Pasted: 4 cells changed, 0 new rows saved. 2 cells not saved: see the lines marked !."
    )


def test_pasted_lines_below_the_last_row_become_rows(owner: Owner) -> None:
    """Complete lines are saved as rows, incomplete ones stay drafts, blank lines are nothing."""
    owner.paste("i3", "name", "Saw\t7\nTarp\t4\n\t\nBox\tbig\n", order=["i3"])

    assert [row["name"] for row in owner.rows.values()] == ["Chainsaw", "Rope", "Saw", "Tarp"]
    assert owner.shown("draft-2")["cells"]["name"] == "Box"
    assert owner.shown("draft-2")["refused"]["mass"][0] == "big"
    assert "1 new row saved. 1 new row not saved yet" in owner.report
    assert len(owner.calls) == 1


def test_paste_into_a_table_that_takes_no_rows(owner: Owner) -> None:
    """Without can_add nothing is added, and the person is told."""
    owner.table._fixed = {**owner.table._fixed, "add": False}
    owner.paste("i3", "name", "Saw\t7\nTarp\t4\n", order=["i3"])

    assert owner.keys() == ["i1", "i2", "i3"]
    assert owner.report.endswith("2 pasted cells left out: past the edge, or in a column that is worked out.")


def test_huge_paste_is_refused_in_words(owner: Owner) -> None:
    """A whole foreign table pasted by mistake changes nothing."""
    owner.paste("i1", "name", "x\n" * (LARGEST_BLOCK_ROWS + 1), order=["i1"])

    assert owner.calls == []
    assert owner.report == "Not pasted: 1001 rows are more than the 1000 that go in at once."


def test_without_show_the_typed_texts_stand(owner: Owner) -> None:
    """An owner that shows later (or never) still has a table that agrees with what was typed."""
    owner.silent = True
    owner.set("i1", "mass", "40")
    owner.say({"kind": "duplicate", "row": "i2"})
    owner.say({"kind": "remove", "row": "i3"})

    assert owner.shown("i1")["cells"]["mass"] == "40"
    assert owner.keys() == ["i1", "i2", "draft-1"]
    assert not owner.shown("draft-1")["draft"]


def test_answers_are_counted_for_each_view(owner: Owner) -> None:
    """Each view finds its own last message, so it knows which typing is newer than the answer."""
    owner.say({"kind": "set", "row": "i1", "column": "mass", "text": "1"}, view="left")
    owner.say({"kind": "set", "row": "i1", "column": "mass", "text": "2"}, view="right")

    answered = owner.table._shown["answered"]
    assert (answered["left"]["batch"], answered["right"]["batch"]) == (1, 2)


def test_one_message_publishes_once(owner: Owner) -> None:
    """show() inside on_edit and the refusals reach the browser together."""
    seen = []
    owner.table.observe(lambda change: seen.append(change.new), "_shown")
    owner.paste("i1", "mass", "7\nheavy", order=["i1", "i2"])

    assert len(seen) == 1


def test_discard_unsaved_forgets_drafts_and_refusals(owner: Owner) -> None:
    """Opening another season leaves nothing of the old one behind."""
    owner.set("i1", "mass", "abc")
    owner.say({"kind": "add"})
    assert len(owner.keys()) == 4

    owner.table.discard_unsaved()
    assert owner.shown("i1")["refused"] == {}
    assert owner.keys() == ["i1", "i2", "i3"]


def test_sort_numbers_that_are_not_finite_are_left_out(owner: Owner) -> None:
    """JSON has no infinity: such a cell sorts as an empty one."""
    owner.table.show([{"name": "A", "_sort": {"mass": 3.5, "total": float("inf"), "zone": None}}], ["a"])

    assert owner.table._shown["rows"][0]["sort"] == {"mass": 3.5}


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        ("a\tb\r\nc\td\r\n", [["a", "b"], ["c", "d"]]),
        ('"two\nlines"\t"say ""hi"""\nx', [["two lines", 'say "hi"'], ["x"]]),
        ('"A" frame\t5" pipe', [['"A" frame', '5" pipe']]),
        ("a\t\tb\n\nc", [["a", "", "b"], [""], ["c"]]),
        ("one", [["one"]]),
        ("", [[""]]),
    ],
)
def test_parse_block(text: str, cells: list[list[str]]) -> None:
    """Tabs, line breaks and quotes as spreadsheets write them to the clipboard."""
    assert parse_block(text) == cells


@pytest.mark.parametrize(
    ("raw", "meaning"), [("Yes", True), ("x", True), ("FALSE", False), ("", False), ("0", False)]
)
def test_pasted_tick_words(raw: str, meaning: bool) -> None:
    """The usual words for a tick are read."""
    assert understood(COLUMNS[3], raw) == (meaning, "")


def test_unknown_tick_word_is_refused(owner: Owner) -> None:
    """A word that is neither yes nor no changes nothing and is quoted in the reason."""
    owner.paste("i1", "spare", "maybe", order=["i1"])

    assert owner.calls == []
    assert "neither yes nor no" in owner.shown("i1")["refused"]["spare"][1]


@pytest.mark.parametrize(
    ("rows", "keys", "error", "words"),
    [
        ([{"name": "A"}], ["a", "b"], ValueError, "2 keys for 1 rows"),
        ([{"name": "A"}, {"name": "B"}], ["a", "a"], ValueError, "'a' more than once"),
        ([{"name": None}], ["a"], TypeError, "cell 'name' of row 'a' is None: give a text"),
        ([{"spare": "yes"}], ["a"], TypeError, "give True or False"),
        ([{"_sort": 3}], ["a"], TypeError, "_sort of a row is 3"),
    ],
)
def test_bad_rows_are_named(
    owner: Owner, rows: list[dict[str, Any]], keys: list[str], error: type[Exception], words: str
) -> None:
    """Mistakes of the owner raise an error that names the place and the cure."""
    with pytest.raises(error, match=words):
        owner.table.show(rows, keys)


def test_bad_column_kind_is_named() -> None:
    """An unknown kind lists those there are."""
    with pytest.raises(ValueError, match="kind of column 'm' is 'mass': use one of text, number"):
        Column(key="m", title="Mass", kind="mass")


def test_page_code_has_no_markup_sinks_and_writes_no_trait() -> None:
    """Names of items can't become markup, and only Python writes traits."""
    for sink in ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write"):
        assert sink not in EditTable._esm
    for write in ("model.set", "save_changes"):
        assert write not in EditTable._esm
