// Everything around the rows: name, filter, buttons, header, and the lines below.

function makeButton(text, className, onClick) {
  const button = make("button", className, text);
  button.type = "button";
  button.addEventListener("click", (event) => {
    // The second half of a double click must not act on the next row.
    if (event.detail < 2 && button.getAttribute("aria-disabled") !== "true") onClick();
  });
  return button;
}

// A button that can't act now stays in the tab order, so that the keyboard never falls out of the table.
function enable(button, on) {
  button.setAttribute("aria-disabled", String(!on));
}

function makeFrame(t, fixed) {
  const root = make("div", "wb-table");
  root.tabIndex = -1; // so that a click on an empty place keeps the keyboard here
  root.setAttribute("role", "group");
  root.setAttribute("aria-label", fixed.label);
  const f = { root };

  f.filter = make("input", "wb-filter");
  f.filter.type = "search";
  f.filter.autocomplete = "off";
  const filterLabel = make("label", "wb-filter-label", "Show rows containing… ");
  filterLabel.append(f.filter);
  f.count = make("span", "wb-count");
  f.count.setAttribute("aria-live", "polite");
  f.add = makeButton("Add row", "wb-button", () => t.addRow());
  f.hereWord = make("span", "wb-here-word");
  f.duplicate = makeButton("Duplicate", "wb-button", () => t.duplicateRow());
  f.remove = makeButton("Remove", "wb-button", () => t.removeRow());
  f.tools = make("div", "wb-tools");
  if (fixed.add) f.tools.append(f.add);
  if (fixed.duplicate || fixed.remove) f.tools.append(f.hereWord);
  if (fixed.duplicate) f.tools.append(f.duplicate);
  if (fixed.remove) f.tools.append(f.remove);
  const find = make("div", "wb-find");
  find.append(filterLabel, f.count);
  const bar = make("div", "wb-bar");
  bar.append(find, f.tools);

  f.table = make("table");
  f.table.setAttribute("role", "grid"); // arrows move in it
  f.table.setAttribute("aria-label", fixed.label);
  f.head = make("thead");
  f.body = make("tbody");
  f.empty = make("p", "wb-empty");
  f.scroll = make("div", "wb-scroll");
  f.scroll.style.maxHeight = fixed.height;
  f.table.append(f.head, f.body);
  f.scroll.append(f.table, f.empty);

  f.hint = make("p", "wb-hint");
  f.next = makeButton("", "wb-button wb-next", () => t.goToUnsaved());
  f.report = make("p", "wb-report");
  f.slow = make("p", "wb-report");
  f.note = make("p", "wb-note");
  for (const line of [f.report, f.slow, f.note]) line.setAttribute("aria-live", "polite");
  f.hints = make("div");
  f.hints.hidden = true;
  f.setBar = makeSetBar(t);
  const foot = make("div", "wb-foot");
  foot.append(f.setBar.bar, f.hint, f.next, f.report, f.slow, f.note, f.hints);

  root.append(make("p", "wb-label", fixed.label), bar, f.scroll, foot);
  return f;
}

function makeHead(t) {
  const tr = make("tr");
  const cols = make("colgroup");
  // Words to read that stand last take what is left, so that on a narrow screen they wrap instead of being cut off.
  const last = t.columns[t.columns.length - 1];
  const rest = t.columns.length > 1 && last.kind === "read-only" && last.align === "left" ? last : null;
  t.frame.table.classList.toggle("wb-picks", t.pickable);
  if (t.pickable) {
    cols.append(make("col", "wb-pick-col"));
    tr.append(makePickAll(t));
    t.frame.table.setAttribute("aria-multiselectable", "true");
  }
  const least = (column) => (column === rest ? `min(${column.width}, 15em)` : column.width);
  t.columns.forEach((column) => {
    const col = make("col");
    if (column !== rest) col.style.width = column.width;
    cols.append(col);
    const th = make("th", `wb-align-${column.align}`);
    th.scope = "col";
    const button = makeButton("", "wb-sort", () => t.sortBy(column.key));
    button.title = column.hint || "";
    button.tabIndex = -1;
    button.append(make("span", "", column.title), make("span", "wb-arrow"));
    button.lastChild.setAttribute("aria-hidden", "true");
    th.append(button);
    tr.append(th);
  });
  const { frame } = t;
  // Given widths spare the browser from measuring every cell: drawing 200 rows takes half the work.
  frame.table.style.minWidth = `calc(${[t.pickable ? "2.4em" : "0px", ...t.columns.map(least)].join(" + ")})`;
  // Tab must not bring a cell to rest below the first column, which stays in place.
  frame.scroll.style.scrollPaddingLeft = t.columns[0] ? `calc(2.4em + ${t.columns[0].width})` : "";
  frame.table.querySelector("colgroup")?.remove();
  frame.table.prepend(cols);
  frame.head.replaceChildren(tr);
  frame.hints.replaceChildren(
    ...t.columns.map((column, index) => {
      const span = make("span", "", column.hint);
      span.id = t.hintId(index);
      return span;
    }),
  );
}

function showSort(t) {
  t.frame.head.querySelectorAll("th:not(.wb-pick-cell)").forEach((th, index) => {
    const on = t.columns[index].key === t.sort.column;
    if (on) th.setAttribute("aria-sort", t.sort.down ? "descending" : "ascending");
    else th.removeAttribute("aria-sort");
    th.querySelector(".wb-arrow").textContent = on ? (t.sort.down ? "▼" : "▲") : "";
  });
}

function showCount(t, total) {
  const rows = (n) => (n === 1 ? "1 row" : `${n} rows`);
  const filtered = t.words.length > 0;
  setText(t.frame.count, filtered ? `${t.order.length} of ${rows(total)}` : rows(total));
  const none = filtered
    ? `No row contains “${t.frame.filter.value.trim()}”. Clear the box above to see all.`
    : t.fixed.add
      ? "No rows yet. Press “Add row”, then type, or paste a block copied from a spreadsheet."
      : "No rows.";
  setText(t.frame.empty, t.order.length ? "" : none);
}

function showHere(t) {
  const row = t.rows.get(t.here.row);
  const on = Boolean(row) && t.order.includes(row.key);
  const { frame } = t;
  for (const other of frame.body.querySelectorAll(".wb-here")) {
    if (!on || other !== row.tr) other.classList.remove("wb-here");
  }
  if (on) row.tr.classList.add("wb-here");
  setText(frame.hereWord, on ? `Row: ${row.name}` : "Pick a row to");
  for (const [button, verb] of [[frame.duplicate, "Duplicate"], [frame.remove, "Remove"]]) {
    enable(button, on);
    button.setAttribute("aria-label", on ? `${verb} row ${row.name}` : `${verb}: pick a row first`);
  }
  const column = t.columns.find((one) => one.key === t.here.column);
  setText(frame.hint, on && column && column.hint ? `${column.title}: ${column.hint}` : KEYS_WORD);
}

function showUnsaved(t) {
  let cells = 0;
  let drafts = 0;
  for (const row of t.data) {
    if (row.draft) drafts += 1;
    else cells += Object.keys(row.refused || {}).length;
  }
  const words = [];
  if (cells) words.push(cells === 1 ? "1 cell" : `${cells} cells`);
  if (drafts) words.push(drafts === 1 ? "1 new row" : `${drafts} new rows`);
  t.frame.next.hidden = !words.length;
  setText(t.frame.next, words.length ? `! Not saved: ${words.join(" and ")}. Show the next` : "");
}
