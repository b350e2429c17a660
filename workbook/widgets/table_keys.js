// The keyboard and the clipboard inside the rows.

const KEYS_WORD = "↑ ↓ other row · Enter next row · Tab next cell · Esc take back, then to the row buttons";
const SELECT_PAUSE_MS = 700;

function onKey(t, event) {
  const cell = t.cellOf.get(event.target);
  if (!cell || event.isComposing || event.ctrlKey || event.altKey || event.metaKey) return;
  const isSelect = cell.column.kind === "choice";
  cell.typedAt = Date.now();
  if (event.key === "Escape") {
    event.preventDefault();
    escapeCell(t, cell);
  } else if (event.key === "Enter") {
    if (isSelect && listIsOpen(cell.el)) return;
    event.preventDefault();
    t.commit(cell);
    moveRow(t, cell, event.shiftKey ? -1 : 1);
  } else if (event.key === "ArrowDown" || event.key === "ArrowUp") {
    if (event.shiftKey || isSelect) return;
    event.preventDefault();
    moveRow(t, cell, event.key === "ArrowUp" ? -1 : 1);
  }
}

function listIsOpen(select) {
  try {
    return select.matches(":open");
  } catch {
    return true; // a browser that can't tell: leave Enter to the list
  }
}

function moveRow(t, cell, step) {
  const next = t.order.indexOf(cell.row.key) + step;
  if (t.order[next]) focusCell(bringIn(t, t.order[next]).cells[cell.index]);
}

function focusCell(cell) {
  cell.el.focus();
  cell.el.scrollIntoView({ block: "nearest", inline: "nearest" });
  if (cell.el.select) cell.el.select();
}

// First take back what was typed or refused; with nothing to take back, go to the row buttons.
function escapeCell(t, cell) {
  const refused = cell.bad || (cell.row.data.refused || {})[""];
  const typed = isDirty(cell);
  clearTimeout(cell.timer);
  if (!typed && (!refused || (cell.row.data.draft && readCell(cell) === cell.good))) {
    t.frame.tools.querySelector("button:not([aria-disabled=true])")?.focus();
    return;
  }
  writeCell(cell, cell.good);
  if (refused) cell.flying = t.send([{ kind: "restore", row: cell.row.key, column: cell.column.key }]);
  if (cell.el.select) cell.el.select();
}

function onToolsKey(t, event) {
  const cell = event.key === "Escape" || event.key === "ArrowDown" ? t.hereCell() : undefined;
  if (!cell) return;
  event.preventDefault();
  focusCell(cell);
}

// A block with tabs or line breaks fills cells right and down; a single text goes into its box as usual.
function onPaste(t, event) {
  const cell = t.cellOf.get(event.target);
  if (!cell) return;
  event.stopPropagation();
  const text = event.clipboardData ? event.clipboardData.getData("text/plain") : "";
  const isBox = cell.column.kind === "text" || cell.column.kind === "number";
  if (isBox && !/[\t\r\n]./s.test(text)) return;
  event.preventDefault();
  if (!text) return;
  writeCell(cell, cell.good);
  const order = t.order.slice(t.order.indexOf(cell.row.key));
  t.send([{ kind: "paste", row: cell.row.key, column: cell.column.key, text, order }]);
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
