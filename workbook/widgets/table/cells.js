// Rows and cells: making them once, then changing only what differs. Texts go in as text, never as markup.

function makeOption(text) {
  const option = make("option", "", text);
  option.value = text;
  return option;
}

function makeControl(column) {
  if (column.kind === "read-only") return make("span", "wb-fixed");
  if (column.kind === "choice") return make("select", "wb-box");
  const input = make("input", "wb-box");
  input.type = column.kind === "tick" ? "checkbox" : "text";
  input.autocomplete = "off";
  input.spellcheck = false;
  if (column.kind === "number") input.inputMode = "decimal";
  return input;
}

// One row of empty cells, to be copied for each row: copying is much faster than making.
function makeTemplate(columns, hintId) {
  const tr = make("tr", "wb-row");
  columns.forEach((column, index) => {
    const td = make(index === 0 ? "th" : "td", `wb-cell wb-${column.kind} wb-align-${column.align}`);
    if (index === 0) td.scope = "row";
    const control = makeControl(column);
    control.tabIndex = -1; // see setStop
    if (column.hint && column.kind !== "read-only") control.setAttribute("aria-describedby", hintId(index));
    const holder = make("div", "wb-holder");
    const mark = make("span", "wb-mark", "!");
    mark.setAttribute("aria-hidden", "true");
    mark.hidden = true;
    holder.append(control, mark);
    td.append(holder);
    tr.append(td);
  });
  return tr;
}

function makeRow(t, key) {
  const tr = t.template.cloneNode(true);
  const row = { key, tr, why: null, whyWords: "", name: null, data: null, px: 0, cells: [], pick: null };
  t.columns.forEach((column, index) => {
    const el = tr.children[index].firstChild.firstChild;
    const cell = { row, column, index, el, good: null, bad: null, base: null, flying: 0, timer: 0, entered: false };
    row.cells.push(cell);
    t.cellOf.set(el, cell);
  });
  t.rowOf.set(tr, row);
  if (t.pickable) {
    row.pick = makePick(row);
    t.cellOf.set(row.pick.el, row.pick);
  }
  return row;
}

function readCell(cell) {
  return cell.column.kind === "tick" ? cell.el.checked : cell.el.value;
}

function isDirty(cell) {
  return cell.column.kind !== "read-only" && readCell(cell) !== cell.base;
}

function showValue(cell, value) {
  const { el, column } = cell;
  if (column.kind === "read-only") setText(el, value);
  else if (column.kind === "tick") el.checked = typeof value === "boolean" ? value : cell.good;
  else if (column.kind === "choice") offer(cell, value);
  else if (el.value !== value) el.value = value;
}

function writeCell(cell, value) {
  showValue(cell, value);
  cell.base = cell.column.kind === "read-only" ? value : readCell(cell);
}

// A list holds all its choices only while its cell has the keyboard, else the chosen one: 60 places to ride in 2,000 rows
// would be 120,000 elements. A value that is no choice (a new row, a refused word) is still shown as it is.
function offer(cell, value) {
  const { el, column, entered } = cell;
  const choices = entered ? column.choices : [];
  const texts = choices.includes(value) ? choices : [value, ...choices];
  if (texts.length !== el.length || texts.some((text, index) => text !== el.options[index].value)) {
    el.replaceChildren(...texts.map(makeOption));
    if (!texts[0]) el.options[0].label = "choose…";
  }
  if (el.value !== value) el.value = value;
}

function enterCell(cell, entered) {
  if (cell.column.kind !== "choice") return;
  cell.entered = entered;
  offer(cell, cell.el.value);
}

// good: the text that stands. bad: [typed, reason] when refused. Newer typing is left alone.
function patchCell(t, cell, good, bad) {
  cell.good = good;
  if (cell.flying > t.answered) return;
  cell.flying = 0;
  const untouched = cell.base === null || !isDirty(cell);
  if (untouched) writeCell(cell, bad ? bad[0] : good);
  if (!cell.bad && !bad) return;
  cell.bad = bad || null;
  markCell(t, cell);
}

function markCell(t, cell) {
  const { el, bad, column, row } = cell;
  const needed = Boolean(bad && row.data.draft && bad[0] === "");
  cell.el.parentNode.parentNode.classList.toggle("wb-bad", Boolean(bad) && !needed);
  cell.el.parentNode.parentNode.classList.toggle("wb-needed", needed);
  el.nextSibling.hidden = !bad;
  el.nextSibling.textContent = needed ? "…" : "!";
  if (column.kind === "read-only") return;
  if (bad) el.setAttribute("aria-invalid", "true");
  else el.removeAttribute("aria-invalid");
  const described = [bad ? t.whyId(cell) : "", column.hint ? t.hintId(cell.index) : ""].filter(Boolean).join(" ");
  if (described) el.setAttribute("aria-describedby", described);
  else el.removeAttribute("aria-describedby");
}

function nameOfRow(row) {
  const first = row.cells[0];
  const text = String(first.bad ? first.bad[0] : first.good);
  return text || (row.data.draft ? "new row" : "without a name");
}

function patchRow(t, row, data) {
  row.data = data;
  const refused = data.refused || {};
  row.cells.forEach((cell, index) => patchCell(t, cell, data.cells[index], refused[cell.column.key]));
  const name = nameOfRow(row);
  if (name !== row.name) {
    row.name = name;
    row.pick?.el.setAttribute("aria-label", `Pick row ${name}`);
    for (const cell of row.cells) {
      if (cell.column.kind !== "read-only") cell.el.setAttribute("aria-label", `${cell.column.title}, row ${name}`);
    }
  }
  row.tr.classList.toggle("wb-draft", Boolean(data.draft));
  if (row.pick) showPick(t, row);
  patchWhy(t, row, refused);
}

// The reasons, in words, in a line of their own below the row.
function patchWhy(t, row, refused) {
  const words = isUnsaved(row.data) ? JSON.stringify([refused, Boolean(row.data.draft), row.name]) : "";
  if (words === row.whyWords) return;
  row.whyWords = words;
  if (row.why) row.why.remove();
  row.why = words ? makeWhy(t, row, refused) : null;
}

function makeWhy(t, row, refused) {
  const tr = make("tr", row.data.draft ? "wb-why wb-draft" : "wb-why");
  const td = make("td");
  td.colSpan = t.columns.length + (t.pickable ? 1 : 0);
  const box = make("div", "wb-why-box");
  const needed = row.cells.filter((cell) => row.data.draft && refused[cell.column.key]?.[0] === "");
  if (row.data.draft) box.append(makeNeeded(t, needed));
  for (const cell of row.cells) {
    const bad = refused[cell.column.key];
    if (bad && !needed.includes(cell)) box.append(makeReason(t, cell, ...bad));
  }
  if (refused[""]) {
    const p = make("p");
    p.append(make("strong", "", "! Not saved "), refused[""][1]);
    box.append(p);
  }
  td.append(box);
  tr.append(td);
  return tr;
}

// What a new row still needs is no mistake: one quiet line names it.
function makeNeeded(t, needed) {
  const p = make("p", "wb-draft-word", `New row, not saved yet:${needed.length ? " fill in " : ""}`);
  needed.forEach((cell, index) => {
    const word = make("span", "", cell.column.title);
    word.id = t.whyId(cell);
    p.append(...(index ? [", ", word] : [word]));
  });
  return p;
}

function makeReason(t, cell, typed, reason) {
  const p = make("p");
  p.id = t.whyId(cell);
  p.append(make("strong", "", `! ${cell.column.title} not saved: `), reason);
  return p;
}
