// The keyboard stays where it is through every change of the page, and never falls through to the notebook.

function activeBox(t) {
  return t.frame.root.getRootNode().activeElement;
}

// Run a change of the page and put the keyboard back where it was, caret and scroll too; if that row is gone, into
// the row that took its place.
function holdFocus(t, change) {
  const { root, scroll } = t.frame;
  const el = activeBox(t);
  const inside = root.contains(el);
  const cell = inside ? t.cellOf.get(el) : undefined;
  const at = cell ? t.order.indexOf(cell.row.key) : -1;
  const caret = cell && typeof el.selectionStart === "number" ? [el.selectionStart, el.selectionEnd] : null;
  const { scrollTop, scrollLeft } = scroll;
  t.held = inside ? el : null;
  t.patching = true;
  change();
  if (inside && activeBox(t) !== el) {
    if (cell && !root.contains(el)) focusInstead(t, cell, at, caret);
    else focusAgain(el, caret);
  }
  t.patching = false;
  t.held = null;
  scroll.scrollTop = scrollTop;
  scroll.scrollLeft = scrollLeft;
  if (inside && !root.contains(activeBox(t))) root.focus({ preventScroll: true });
}

// A click inside a selected text gives the keyboard to the notebook's cell: take it back, or letters become commands.
function catchFocus(t) {
  if (!t.frame.root.contains(activeBox(t))) t.frame.root.focus({ preventScroll: true });
}

function focusAgain(el, caret) {
  el.focus({ preventScroll: true });
  if (caret && el.setSelectionRange) el.setSelectionRange(...caret);
}

// The box is gone: its twin in the same row (the columns were made anew), else the row now in that place.
function focusInstead(t, cell, at, caret) {
  const same = t.order.includes(cell.row.key);
  const key = same ? cell.row.key : t.order[Math.min(at, t.order.length - 1)];
  if (!key) return;
  const row = bringIn(t, key);
  const twin = row.cells.find((one) => one.column.key === cell.column.key) || firstBox(row);
  focusAgain(twin.el, same ? caret : null);
  t.here = { row: row.key, column: twin.column.key };
  showHere(t);
}

function firstBox(row) {
  return row.cells.find((cell) => cell.column.kind !== "read-only") || row.cells[0];
}
