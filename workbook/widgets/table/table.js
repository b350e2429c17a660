// One view of the table. Python owns what is shown; the browser sends numbered wishes and never writes a trait.

const SLOW_MS = 1000;
const STUCK_MS = 10000;

class TableView {
  constructor(model, el) {
    this.model = model;
    this.fixed = model.get("_fixed");
    this.id = `wb-${Math.random().toString(36).slice(2, 10)}`;
    this.data = []; // the rows as Python sends them
    this.dataOf = new Map(); // row key -> one of them
    this.rows = new Map(); // row key -> row, once it has been drawn
    this.cellOf = new WeakMap(); // box -> cell
    this.rowOf = new WeakMap(); // tr -> row
    this.order = []; // row keys that are shown, from top to bottom
    this.drawn = [0, 0]; // the places of those that stand in the page
    this.whole = false; // all of them do: the page is being printed
    this.columns = [];
    this.columnsWords = "";
    this.sent = 0;
    this.answered = 0;
    this.waiting = null; // what to do once a numbered message is answered
    this.sort = { column: "", down: false };
    this.words = [];
    this.here = { row: "", column: "" };
    this.patching = false; // the page is being changed: leaving a box now is not the person's doing
    this.held = null; // what has the keyboard meanwhile
    this.editing = null; // the cell in which the arrows move the caret
    this.stop = null; // the box that Tab comes to
    this.pickable = false; // there is a column to set
    this.picked = new Set(); // row keys
    this.anchor = ""; // the row that was picked last: Shift picks from there
    this.span = null; // what Shift and the arrows have picked on this way
    this.timers = [];
    this.frame = makeFrame(this, this.fixed);
    this.listen();
    el.append(this.frame.root);
    this.receive();
    this.showNote();
  }

  listen() {
    const { root, head, body, scroll, tools, filter } = this.frame;
    root.addEventListener("keydown", (event) => onUndoKey(this, event));
    root.addEventListener("keydown", keepFromNotebook);
    root.addEventListener("click", () => catchFocus(this));
    tools.addEventListener("keydown", (event) => onToolsKey(this, event));
    body.addEventListener("keydown", (event) => onKey(this, event));
    head.addEventListener("keydown", (event) => onHeadKey(this, event));
    head.addEventListener("focusin", (event) => setStop(this, event.target));
    body.addEventListener("mousedown", (event) => onShiftDown(this, event));
    body.addEventListener("click", ({ target, shiftKey }) => {
      const cell = this.cellOf.get(target);
      if (cell?.column === PICK) togglePick(this, cell.row, shiftKey);
    });
    body.addEventListener("input", ({ target }) => {
      const cell = this.cellOf.get(target);
      if (cell && isBox(cell)) this.editing = cell;
    });
    body.addEventListener("paste", (event) => onPaste(this, event));
    body.addEventListener("change", (event) => onChange(this, event));
    body.addEventListener("focusin", (event) => this.entered(this.cellOf.get(event.target)));
    body.addEventListener("focusout", (event) => this.left(event));
    body.addEventListener("pointerdown", (event) => this.pointed(event));
    body.addEventListener("pointerover", ({ target }) => {
      if (target.matches("input[type=text]")) target.title = target.scrollWidth > target.clientWidth ? target.value : "";
    });
    scroll.addEventListener("scroll", () => onScroll(this));
    filter.addEventListener("input", () => {
      this.words = wordsOf(filter.value);
      this.arrange();
    });
    this.onShown = () => this.receive();
    this.onNote = () => this.showNote();
    this.model.on("change:_shown", this.onShown);
    this.model.on("change:note", this.onNote);
    this.onPrint = (event) => drawAll(this, event.type === "beforeprint");
    for (const type of ["beforeprint", "afterprint"]) window.addEventListener(type, this.onPrint);
  }

  stop() {
    this.model.off("change:_shown", this.onShown);
    this.model.off("change:note", this.onNote);
    for (const type of ["beforeprint", "afterprint"]) window.removeEventListener(type, this.onPrint);
    this.timers.forEach(clearTimeout);
  }

  whyId(cell) {
    return `${this.id}-why-${cell.row.key}-${cell.index}`.replace(/\s/g, "_");
  }

  hintId(index) {
    return `${this.id}-hint-${index}`;
  }

  // --- what Python says -------------------------------------------------------------------------------------

  receive() {
    const shown = this.model.get("_shown");
    const answer = shown.answered[this.id];
    if (answer) this.answered = answer.batch;
    holdFocus(this, () => {
      const known = this.takeNames(shown.became);
      const columns = JSON.stringify(shown.columns);
      const rebuild = columns !== this.columnsWords;
      const old = this.rows;
      if (rebuild) this.rebuild(shown.columns, columns);
      this.data = shown.rows;
      this.dataOf = new Map(shown.rows.map((data) => [data.key, data]));
      for (const [key, row] of old) {
        const data = this.dataOf.get(key);
        if (!data) this.rows.delete(key);
        else if (rebuild) this.carryTyping(row, this.row(key));
        else patchRow(this, row, data);
      }
      this.place(known);
    });
    setText(this.frame.report, shown.report);
    showUnsaved(this);
    this.settleWaiting(answer);
  }

  row(key) {
    let row = this.rows.get(key);
    if (!row) {
      this.rows.set(key, (row = makeRow(this, key)));
      patchRow(this, row, this.dataOf.get(key));
    }
    return row;
  }

  // A draft that was accepted goes on under the owner's key, in the same boxes. Returns the keys known so far.
  takeNames(became) {
    const known = new Set(this.dataOf.keys());
    for (const [draft, key] of Object.entries(became)) {
      if (!known.has(draft) || known.has(key)) continue;
      known.add(key);
      const row = this.rows.get(draft);
      this.rows.delete(draft);
      if (row) {
        row.key = key;
        this.rows.set(key, row);
      }
      this.order = this.order.map((one) => (one === draft ? key : one));
      if (this.here.row === draft) this.here.row = key;
      if (this.anchor === draft) this.anchor = key;
    }
    return known;
  }

  rebuild(columns, words) {
    this.columns = columns;
    this.columnsWords = words;
    this.rows = new Map();
    this.pickable = columns.some((column) => column.kind !== "read-only");
    this.template = makeTemplate(columns, (index) => this.hintId(index));
    makeHead(this);
    showSort(this);
    this.frame.body.replaceChildren();
    if (this.picked.size) fillSetBar(this);
  }

  // The columns changed (other units, other choices): typing that is not answered yet moves to the new boxes.
  carryTyping(from, to) {
    for (const cell of from.cells) {
      const twin = to.cells.find((one) => one.column.key === cell.column.key && one.column.kind === cell.column.kind);
      if (!twin || cell.column.kind === "read-only") continue;
      const typed = readCell(cell);
      if (cell.flying > this.answered) writeCell(twin, typed);
      else if (isDirty(cell)) showValue(twin, typed);
      if (cell.flying > this.answered) twin.flying = cell.flying;
    }
  }

  // --- which rows, in which order ---------------------------------------------------------------------------

  arrange() {
    holdFocus(this, () => this.place(new Set(this.dataOf.keys())));
  }

  place(known) {
    const busy = this.frame.body.contains(this.held) && (this.sort.column || this.words.length);
    this.order = busy
      ? keepOrder(this.data, this.order, known)
      : arrangeRows(this.data, this.columns, this.sort, this.words);
    drawRows(this);
    showCount(this, this.data.length);
    showHere(this);
    showPicks(this);
  }

  sortBy(key) {
    const again = this.sort.column === key;
    if (again && this.sort.down) this.sort = { column: "", down: false };
    else this.sort = { column: key, down: again };
    showSort(this);
    this.arrange();
  }

  // --- the row that the keyboard is in ------------------------------------------------------------------------

  hereCell() {
    if (!this.order.includes(this.here.row)) return undefined;
    const row = bringIn(this, this.here.row);
    return row.cells.find((cell) => cell.column.key === this.here.column) || firstBox(row);
  }

  entered(cell) {
    if (cell) enterCell(cell, true);
    if (!cell || this.patching) return;
    if (this.editing !== cell) {
      this.editing = null;
      cell.el.select?.(); // what is typed now takes its place
    }
    setStop(this, cell.el);
    this.here = { row: cell.row.key, column: cell.column.key };
    showHere(this);
  }

  left(event) {
    const cell = this.cellOf.get(event.target);
    if (this.patching || !cell) return;
    this.commit(cell);
    enterCell(cell, false);
    if (this.editing === cell) this.editing = null;
    if (!this.frame.body.contains(event.relatedTarget)) this.arrange();
  }

  pointed(event) {
    const cell = this.cellOf.get(event.target);
    if (cell && isBox(cell)) this.editing = cell; // a click puts the caret, and the arrows move it
    if (cell) enterCell(cell, true); // the browser opens the list before the focus comes
    const row = this.rowOf.get(event.target.closest("tr"));
    if (!row || this.cellOf.get(event.target)?.column.kind !== undefined) return;
    this.here = { row: row.key, column: this.here.column };
    showHere(this);
  }

  // --- what the person wants --------------------------------------------------------------------------------

  commit(cell) {
    clearTimeout(cell.timer);
    if (!isDirty(cell)) return;
    cell.base = readCell(cell);
    cell.flying = this.send([{ kind: "set", row: cell.row.key, column: cell.column.key, text: cell.base }]);
  }

  addRow() {
    this.waiting = { batch: this.send([{ kind: "add" }]) };
  }

  duplicateRow() {
    this.waiting = { batch: this.send([{ kind: "duplicate", row: this.here.row }]) };
  }

  removeRow() {
    const cell = this.hereCell();
    if (cell) focusCell(cell); // its neighbor takes the keyboard when the row goes
    this.send([{ kind: "remove", row: this.here.row }]);
  }

  goToUnsaved() {
    const bad = this.order.filter((key) => isUnsaved(this.dataOf.get(key)));
    const at = this.order.indexOf(this.here.row);
    const key = bad.find((one) => this.order.indexOf(one) > at) || bad[0];
    if (!key) return;
    const row = bringIn(this, key);
    focusCell(row.cells.find((cell) => cell.bad && cell.column.kind !== "read-only") || firstBox(row));
  }

  // A new row is made by Python; once it is there, the keyboard goes to its first box. And see afterSet.
  settleWaiting(answer) {
    if (this.answered >= this.sent) this.quiet();
    if (!this.waiting || !answer || answer.batch < this.waiting.batch) return;
    const { waiting } = this;
    this.waiting = null;
    if (waiting.last && answer.all_set) afterSet(this, waiting);
    if (this.order.includes(answer.row)) focusCell(firstBox(bringIn(this, answer.row)));
  }

  send(edits) {
    this.sent += 1;
    try {
      this.model.send({ view: this.id, batch: this.sent, edits });
      this.timers.push(setTimeout(() => this.slow("Saving…"), SLOW_MS));
      this.timers.push(setTimeout(() => this.slow(STUCK_WORD), STUCK_MS));
    } catch (error) {
      this.slow(`Not saved: this page has lost its calculation (${error.message}). What you typed stays here.`);
    }
    return this.sent;
  }

  slow(words) {
    if (this.answered < this.sent) setText(this.frame.slow, words);
  }

  quiet() {
    this.timers.splice(0).forEach(clearTimeout);
    setText(this.frame.slow, "");
  }

  showNote() {
    setText(this.frame.note, this.model.get("note"));
  }
}

const STUCK_WORD =
  "! Not saved yet: the calculation behind this page is busy or has stopped. What you typed stays here.";

export default {
  render({ model, el }) {
    const view = new TableView(model, el);
    return () => view.stop();
  },
};
