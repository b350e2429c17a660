// Rows that are picked, and the one control that sets a column of all of them. Only rows that are shown can be picked:
// what a search hides is never set.

const PICK = { kind: "read-only", key: "", title: "Pick", align: "center" }; // the column of boxes before the rows

function canPick(t, key) {
  return t.order.includes(key) && !t.dataOf.get(key).draft;
}

function makePick(row) {
  const td = make("td", "wb-cell wb-pick-cell");
  const el = make("input", "wb-pick");
  el.type = "checkbox";
  el.tabIndex = -1;
  td.append(el);
  row.tr.prepend(td);
  return { row, column: PICK, index: -1, el, good: "", bad: null, base: "", flying: 0, timer: 0, entered: false };
}

function makePickAll(t) {
  const th = make("th", "wb-pick-cell");
  th.scope = "col";
  const box = make("input", "wb-pick");
  box.type = "checkbox";
  box.tabIndex = -1;
  box.setAttribute("aria-label", "Pick all rows shown");
  box.title = "Pick all rows shown";
  box.addEventListener("click", () => pickAll(t, box.checked));
  th.append(box);
  return th;
}

function pickAll(t, on) {
  t.span = null;
  t.picked = new Set(on ? t.order.filter((key) => canPick(t, key)) : []);
  showPicks(t);
}

function between(t, from, to) {
  const [a, b] = [t.order.indexOf(from), t.order.indexOf(to)].sort((one, other) => one - other);
  return a < 0 ? [to] : t.order.slice(a, b + 1);
}

// One row more or less; with Shift all from the last one that was picked.
function togglePick(t, row, extend) {
  if (extend && t.anchor) for (const key of between(t, t.anchor, row.key)) t.picked.add(key);
  else if (!t.picked.delete(row.key)) t.picked.add(row.key);
  t.anchor = row.key;
  t.span = null;
  showPicks(t);
}

// Shift and an arrow: what the keyboard passes over is picked, and let go on the way back.
function pickOver(t, cell, step) {
  const next = t.order[t.order.indexOf(cell.row.key) + step];
  if (!next) return;
  t.span = t.span || { from: cell.row.key, before: new Set(t.picked) };
  const { from, before } = t.span;
  t.picked = new Set([...before, ...between(t, from, next)]);
  t.anchor = next;
  showPicks(t);
  focusInRow(t, bringIn(t, next), cell.index);
}

// Shift and a click anywhere in a row; the box itself hears its own click.
function onShiftDown(t, event) {
  const row = event.shiftKey && t.pickable ? t.rowOf.get(event.target.closest("tr")) : undefined;
  if (!row || event.target === row.pick.el) return;
  event.preventDefault(); // no text is selected from there to here
  if (!t.anchor && t.order.includes(t.here.row)) t.anchor = t.here.row;
  togglePick(t, row, true);
  row.pick.el.focus({ preventScroll: true });
}

function showPicks(t) {
  if (!t.pickable) return;
  for (const key of t.picked) if (!canPick(t, key)) t.picked.delete(key);
  for (const row of t.rows.values()) showPick(t, row);
  const all = t.order.filter((key) => canPick(t, key)).length;
  const box = t.frame.head.querySelector(".wb-pick");
  box.checked = all > 0 && t.picked.size === all;
  box.indeterminate = t.picked.size > 0 && t.picked.size < all;
  showSetBar(t);
}

function showPick(t, row) {
  const on = t.picked.has(row.key);
  row.pick.el.checked = on;
  row.pick.el.disabled = Boolean(row.data.draft);
  row.tr.classList.toggle("wb-picked", on);
  row.tr.setAttribute("aria-selected", String(on));
}

// --- Set [column] of 7 rows to [value] --------------------------------------------------------------------------

function makeSetBar(t) {
  const bar = make("div", "wb-set");
  bar.hidden = true;
  bar.setAttribute("role", "group");
  bar.setAttribute("aria-label", "Set one column of the picked rows");
  const s = { bar, columns: "", value: null };
  s.column = make("select", "wb-button");
  s.column.setAttribute("aria-label", "Column to set");
  s.column.addEventListener("change", () => makeSetValue(t));
  s.count = make("span");
  s.count.setAttribute("aria-live", "polite");
  s.place = make("span");
  s.set = makeButton("Set", "wb-button", () => setPicked(t));
  s.none = makeButton("Unpick all", "wb-button", () => {
    pickAll(t, false);
    const cell = t.hereCell();
    if (cell) focusCell(cell);
  });
  bar.append(make("span", "", "Set "), s.column, s.count, s.place, s.set, s.none);
  bar.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.classList.contains("wb-set-value")) setPicked(t);
    else if (event.key === "Escape" && t.hereCell()) focusCell(t.hereCell());
    else return;
    event.preventDefault();
  });
  return s;
}

function showSetBar(t) {
  const { setBar } = t.frame;
  const count = t.picked.size;
  if (setBar.bar.hidden && count) fillSetBar(t);
  setBar.bar.hidden = !count;
  setText(setBar.count, count ? ` of ${count === 1 ? "1 row" : `${count} rows`} to ` : "");
}

// The column that the keyboard is in, else the one chosen last, else a list: what is set for many rows is mostly chosen.
function fillSetBar(t) {
  const { column } = t.frame.setBar;
  const columns = t.columns.filter((one) => one.kind !== "read-only");
  const keys = columns.map((one) => one.key);
  const wanted = [t.here.column, column.value].find((key) => keys.includes(key));
  const usual = columns.find((one) => one.kind === "choice") || columns[0];
  column.replaceChildren(...columns.map((one) => {
    const option = makeOption(one.title);
    option.value = one.key;
    return option;
  }));
  column.value = wanted || usual.key;
  makeSetValue(t);
}

function makeSetValue(t) {
  const { setBar } = t.frame;
  const column = t.columns.find((one) => one.key === setBar.column.value);
  const choices = column.kind === "tick" ? ["yes", "no"] : column.choices;
  const value = make(choices.length ? "select" : "input", "wb-button wb-set-value");
  if (choices.length) {
    value.append(...["", ...choices].map(makeOption)); // a first choice that nobody made would be set by mistake
    value.options[0].label = "choose…";
  } else value.autocomplete = "off";
  value.setAttribute("aria-label", `${column.title} for all picked rows`);
  setBar.value = value;
  setBar.place.replaceChildren(value);
}

function setPicked(t) {
  const { column, value } = t.frame.setBar;
  const rows = t.order.filter((key) => t.picked.has(key));
  if (value.matches("select") && !value.value) value.focus();
  else if (rows.length) sendSet(t, rows, column.value, value.value);
}

function sendSet(t, rows, column, text) {
  const batch = t.send([{ kind: "set-rows", rows, column, text }]);
  t.waiting = { batch, last: rows[rows.length - 1], column };
}

// All of them took it: they are let go, and the keyboard goes on in the row below, ready to pick the next ones.
function afterSet(t, { last, column }) {
  pickAll(t, false);
  t.anchor = "";
  const at = t.order.indexOf(last);
  const key = t.order[Math.min(at + 1, t.order.length - 1)];
  if (at >= 0) focusInRow(t, bringIn(t, key), t.columns.findIndex((one) => one.key === column));
}
