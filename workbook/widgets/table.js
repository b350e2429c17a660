// One view of the table. Python owns what is shown; the browser sends numbered wishes and never writes a trait.

const SLOW_MS = 1000;
const STUCK_MS = 10000;

class TableView {
  constructor(model, el) {
    this.model = model;
    this.fixed = model.get("_fixed");
    this.id = `wb-${Math.random().toString(36).slice(2, 10)}`;
    this.keysWord = KEYS_WORD;
    this.rows = new Map(); // row key -> row
    this.cellOf = new WeakMap(); // box -> cell
    this.rowOf = new WeakMap(); // tr -> row
    this.order = []; // row keys on screen, from top to bottom
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
    this.timers = [];
    this.frame = makeFrame(this, this.fixed);
    this.listen();
    el.append(this.frame.root);
    this.receive();
    this.showNote();
  }

  listen() {
    const { root, body, tools, filter } = this.frame;
    root.addEventListener("keydown", keepFromNotebook);
    root.addEventListener("click", () => catchFocus(this));
    tools.addEventListener("keydown", (event) => onToolsKey(this, event));
    body.addEventListener("keydown", (event) => onKey(this, event));
    body.addEventListener("paste", (event) => onPaste(this, event));
    body.addEventListener("change", (event) => onChange(this, event));
    body.addEventListener("focusin", (event) => this.entered(this.cellOf.get(event.target)));
    body.addEventListener("focusout", (event) => this.left(event));
    body.addEventListener("pointerdown", (event) => this.pointed(event));
    body.addEventListener("pointerover", ({ target }) => {
      if (target.matches("input[type=text]")) target.title = target.scrollWidth > target.clientWidth ? target.value : "";
    });
    filter.addEventListener("input", () => {
      this.words = wordsOf(filter.value);
      this.arrange();
    });
    this.onShown = () => this.receive();
    this.onNote = () => this.showNote();
    this.model.on("change:_shown", this.onShown);
    this.model.on("change:note", this.onNote);
  }

  stop() {
    this.model.off("change:_shown", this.onShown);
    this.model.off("change:note", this.onNote);
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
      for (const data of shown.rows) {
        let row = this.rows.get(data.key);
        if (!row) this.rows.set(data.key, (row = makeRow(this, data.key)));
        if (rebuild && old.has(data.key)) this.carryTyping(old.get(data.key), row, data);
        patchRow(this, row, data);
      }
      const now = new Set(shown.rows.map((data) => data.key));
      for (const key of [...this.rows.keys()]) if (!now.has(key)) this.rows.delete(key);
      this.place(known);
    });
    setText(this.frame.report, shown.report);
    showUnsaved(this);
    this.settleWaiting(answer);
  }

  // A draft that was accepted goes on under the owner's key, in the same boxes. Returns the keys known so far.
  takeNames(became) {
    for (const [draft, key] of Object.entries(became)) {
      const row = this.rows.get(draft);
      if (!row || this.rows.has(key)) continue;
      this.rows.delete(draft);
      row.key = key;
      this.rows.set(key, row);
      this.order = this.order.map((one) => (one === draft ? key : one));
      if (this.here.row === draft) this.here.row = key;
    }
    return new Set(this.rows.keys());
  }

  rebuild(columns, words) {
    this.columns = columns;
    this.columnsWords = words;
    this.rows = new Map();
    this.template = makeTemplate(columns, (index) => this.hintId(index));
    makeHead(this);
    showSort(this);
    this.frame.body.replaceChildren();
  }

  // The columns changed (other units, other choices): typing that is not answered yet moves to the new boxes.
  carryTyping(from, to, data) {
    patchRow(this, to, data);
    for (const cell of from.cells) {
      const twin = to.cells.find((one) => one.column.key === cell.column.key && one.column.kind === cell.column.kind);
      if (!twin || cell.column.kind === "read-only") continue;
      const typed = readCell(cell);
      if (cell.flying > this.answered) writeCell(twin, typed);
      else if (isDirty(cell)) cell.column.kind === "tick" ? (twin.el.checked = typed) : (twin.el.value = typed);
      if (cell.flying > this.answered) twin.flying = cell.flying;
    }
  }

  // --- which rows, in which order ---------------------------------------------------------------------------

  arrange() {
    holdFocus(this, () => this.place(new Set(this.rows.keys())));
  }

  place(known) {
    const busy = this.frame.body.contains(this.held) && (this.sort.column || this.words.length);
    this.order = busy
      ? keepOrder(this.data, this.order, known)
      : arrangeRows(this.data, this.columns, this.sort, this.words);
    const nodes = this.order.flatMap((key) => [this.rows.get(key).tr, this.rows.get(key).why].filter(Boolean));
    const wanted = new Set(nodes);
    for (const node of [...this.frame.body.children]) if (!wanted.has(node)) node.remove();
    let at = this.frame.body.firstChild;
    for (const node of nodes) {
      if (node === at) at = at.nextSibling;
      else this.frame.body.insertBefore(node, at);
    }
    showCount(this, this.data.length);
    showHere(this);
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
    const row = this.rows.get(this.here.row);
    if (!row || !row.tr.isConnected) return undefined;
    return row.cells.find((cell) => cell.column.key === this.here.column) || firstBox(row);
  }

  entered(cell) {
    if (!cell || this.patching) return;
    this.here = { row: cell.row.key, column: cell.column.key };
    showHere(this);
  }

  left(event) {
    const cell = this.cellOf.get(event.target);
    if (this.patching || !cell) return;
    this.commit(cell);
    if (!this.frame.body.contains(event.relatedTarget)) this.arrange();
  }

  pointed(event) {
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
    const bad = this.order.map((key) => this.rows.get(key)).filter((row) => isUnsaved(row.data));
    const at = this.order.indexOf(this.here.row);
    const row = bad.find((one) => this.order.indexOf(one.key) > at) || bad[0];
    if (row) focusCell(row.cells.find((cell) => cell.bad && cell.column.kind !== "read-only") || firstBox(row));
  }

  // A new row is made by Python; once it is there, the keyboard goes to its first box.
  settleWaiting(answer) {
    if (this.answered >= this.sent) this.quiet();
    if (!this.waiting || !answer || answer.batch < this.waiting.batch) return;
    this.waiting = null;
    const row = this.rows.get(answer.row);
    if (row && row.tr.isConnected) focusCell(firstBox(row));
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
