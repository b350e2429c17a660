// The keyboard inside the rows. The table is one tab stop: arrows move between its cells, Enter, F2, or typing edits one,
// Enter or Tab keeps it, Escape takes it back, and Escape again leaves the cells for the row buttons.

const KEYS_WORD = "Arrows move · Enter or F2 edits · Shift+arrows or Space pick rows, Ctrl+A all · Ctrl+Z undoes · Esc to the row buttons";
const SELECT_PAUSE_MS = 700;
const PAGE_ROWS = 10;

function isBox(cell) {
  return cell.column.kind === "text" || cell.column.kind === "number";
}

function isEdited(t, cell) {
  return t.editing === cell || isDirty(cell);
}

function onKey(t, event) {
  const cell = t.cellOf.get(event.target);
  if (!cell || event.isComposing || event.altKey) return;
  cell.typedAt = Date.now();
  const did = event.ctrlKey || event.metaKey ? onCtrlKey(t, event, cell) : onPlainKey(t, event, cell);
  if (did) event.preventDefault();
}

function onPlainKey(t, event, cell) {
  const { key, shiftKey } = event;
  const edited = isEdited(t, cell);
  if (key === "Escape") return escapeCell(t, cell);
  if (cell.column.kind === "choice" && listIsOpen(cell.el)) return false;
  if (key === "Enter") return edited || shiftKey ? keepAndMove(t, cell, shiftKey ? -1 : 1) : startEdit(t, cell);
  if (key === "F2") return startEdit(t, cell);
  if (key === "Tab") return edited && keepAndStep(t, cell, shiftKey ? -1 : 1);
  if (key === " ") return pickHere(t, cell, shiftKey);
  if (key === "ArrowDown" || key === "ArrowUp") {
    const step = key === "ArrowUp" ? -1 : 1;
    if (edited && (shiftKey || cell.column.kind === "choice")) return false;
    if (shiftKey) return t.pickable && (pickOver(t, cell, step), true);
    return moveRow(t, cell, step);
  }
  if (edited || shiftKey) return false; // the arrows move the caret
  const across = { ArrowLeft: -1, ArrowRight: 1, Home: -Infinity, End: Infinity }[key];
  if (across) return moveAcross(t, cell, across);
  const down = { PageUp: -PAGE_ROWS, PageDown: PAGE_ROWS }[key];
  return Boolean(down) && moveRow(t, cell, down);
}

function onCtrlKey(t, event, cell) {
  const key = event.key.toLowerCase();
  if (key === "a") {
    const { el } = cell;
    const part = isEdited(t, cell) && isBox(cell) && el.selectionEnd - el.selectionStart < el.value.length;
    if (part || !t.pickable) return false; // the text first, at the next press the rows
    pickAll(t, true);
    return true;
  }
  if (key === "enter" && t.picked.size) {
    t.frame.setBar.value.focus();
    return true;
  }
  return false;
}

// Ctrl+Z while a text is being typed is the box's own; else it takes back what this page did last.
function onUndoKey(t, event) {
  const key = event.key.toLowerCase();
  if (!(event.ctrlKey || event.metaKey) || event.altKey || (key !== "z" && key !== "y")) return;
  const cell = t.cellOf.get(event.target);
  if (cell ? isDirty(cell) : event.target.matches("input")) return;
  event.preventDefault();
  t.send([{ kind: key === "y" || event.shiftKey ? "redo" : "undo" }]);
}

function startEdit(t, cell) {
  if (cell.column.kind === "tick") cell.el.click();
  else if (cell.column === PICK) togglePick(t, cell.row, false);
  else if (cell.column.kind !== "read-only") t.editing = cell;
  if (isBox(cell)) cell.el.setSelectionRange(cell.el.value.length, cell.el.value.length);
  return true;
}

// Space ticks and opens lists as everywhere; in other cells, and with Shift in all of them, it picks the row.
function pickHere(t, cell, shiftKey) {
  const own = ["tick", "choice"].includes(cell.column.kind) || isEdited(t, cell);
  if (!t.pickable || (own && !shiftKey) || (shiftKey && t.editing === cell)) return false;
  if (canPick(t, cell.row.key)) togglePick(t, cell.row, false);
  return true;
}

function listIsOpen(select) {
  try {
    return select.matches(":open");
  } catch {
    return true; // a browser that can't tell: leave the keys to the list
  }
}

function keepAndMove(t, cell, step) {
  t.commit(cell);
  moveRow(t, cell, step);
  t.editing = null;
  return true;
}

// Tab while typing goes on to the next box, over the end of the row too; after the last one it leaves as usual.
function keepAndStep(t, cell, step) {
  t.commit(cell);
  const boxes = cell.row.cells.filter((one) => one.column.kind !== "read-only");
  const next = boxes[boxes.indexOf(cell) + step];
  if (next) focusCell(next);
  const key = next ? "" : t.order[t.order.indexOf(cell.row.key) + step];
  if (key) {
    const others = bringIn(t, key).cells.filter((one) => one.column.kind !== "read-only");
    focusCell(others[step > 0 ? 0 : others.length - 1]);
  }
  return Boolean(next || key);
}

function moveRow(t, cell, step) {
  t.span = null;
  const at = t.order.indexOf(cell.row.key);
  if (at === 0 && step < 0) return focusHead(t, cell.index);
  const next = Math.max(0, Math.min(at + step, t.order.length - 1));
  if (next !== at) focusInRow(t, bringIn(t, t.order[next]), cell.index);
  return true;
}

function moveAcross(t, cell, step) {
  const line = lineOf(cell.row);
  const next = line[Math.max(0, Math.min(line.indexOf(cell) + step, line.length - 1))];
  if (next !== cell) focusCell(next);
  return true;
}

function lineOf(row) {
  return row.pick ? [row.pick, ...row.cells] : row.cells;
}

function focusInRow(t, row, index) {
  focusCell(index < 0 ? row.pick : row.cells[index]);
}

function focusCell(cell) {
  cell.el.focus();
  cell.el.scrollIntoView({ block: "nearest", inline: "nearest" });
  if (cell.el.select) cell.el.select();
}

// First take back what was typed or refused, then end the editing; with nothing to take back, go to the row buttons.
function escapeCell(t, cell) {
  const refused = cell.bad || (cell.row.data.refused || {})[""];
  const typed = isDirty(cell);
  clearTimeout(cell.timer);
  const edited = t.editing === cell;
  t.editing = null;
  if (!typed && (!refused || (cell.row.data.draft && readCell(cell) === cell.good))) {
    if (edited) cell.el.select?.();
    else leaveCells(t);
    return true;
  }
  writeCell(cell, cell.good);
  if (refused) cell.flying = t.send([{ kind: "restore", row: cell.row.key, column: cell.column.key }]);
  if (cell.el.select) cell.el.select();
  return true;
}

// To the row buttons; a table without any has its filter.
function leaveCells(t) {
  (t.frame.tools.querySelector("button:not([aria-disabled=true])") || t.frame.filter).focus();
}

// --- the header: arrows too -------------------------------------------------------------------------------------

function headStops(t) {
  return [...t.frame.head.querySelectorAll(".wb-pick, .wb-sort")];
}

function focusHead(t, index) {
  headStops(t)[index + (t.pickable ? 1 : 0)].focus();
  return true;
}

function onHeadKey(t, event) {
  const stops = headStops(t);
  const at = stops.indexOf(event.target);
  if (at < 0 || event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
  const step = { ArrowLeft: -1, ArrowRight: 1, Home: -stops.length, End: stops.length }[event.key];
  if (step) stops[Math.max(0, Math.min(at + step, stops.length - 1))].focus();
  else if (event.key === "ArrowDown" && t.order.length) {
    focusInRow(t, bringIn(t, t.order[0]), at - (t.pickable ? 1 : 0));
  } else if (event.key === "Escape") leaveCells(t);
  else return;
  event.preventDefault();
}

// The one place of the table that Tab comes to: where the keyboard was last, else the first row that is seen.
function setStop(t, el) {
  if (t.stop && t.stop !== el) t.stop.tabIndex = -1;
  t.stop = el;
  el.tabIndex = 0;
}

function keepStop(t) {
  if (t.stop && t.frame.table.contains(t.stop)) return;
  const key = t.order.includes(t.here.row) && t.rows.get(t.here.row)?.tr.parentNode ? t.here.row : t.order[t.drawn[0]];
  const row = t.rows.get(key);
  const cell = row && (row.cells.find((one) => one.column.key === t.here.column) || firstBox(row));
  setStop(t, cell ? cell.el : headStops(t)[0]);
}

function onToolsKey(t, event) {
  const cell = event.key === "Escape" || event.key === "ArrowDown" ? t.hereCell() : undefined;
  if (!cell) return;
  event.preventDefault();
  focusCell(cell);
}

// A choice made with the arrow keys is sent once it stands still; one made with the mouse at once.
function onChange(t, event) {
  const cell = t.cellOf.get(event.target);
  if (!cell) return;
  if (cell.column.kind === "tick") t.commit(cell);
  if (cell.column.kind !== "choice") return;
  clearTimeout(cell.timer);
  const byKeys = Date.now() - (cell.typedAt || 0) < SELECT_PAUSE_MS;
  if (byKeys) cell.timer = setTimeout(() => t.commit(cell), SELECT_PAUSE_MS);
  else t.commit(cell);
}

// A block with tabs or line breaks fills cells right and down; a single text goes into its box as usual.
function onPaste(t, event) {
  const cell = t.cellOf.get(event.target);
  if (!cell || cell.column === PICK) return;
  event.stopPropagation();
  const text = event.clipboardData ? event.clipboardData.getData("text/plain") : "";
  if (isBox(cell) && !/[\t\r\n]./s.test(text)) return;
  event.preventDefault();
  if (!text) return;
  writeCell(cell, cell.good);
  const order = t.order.slice(t.order.indexOf(cell.row.key));
  t.send([{ kind: "paste", row: cell.row.key, column: cell.column.key, text, order }]);
}
