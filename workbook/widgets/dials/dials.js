// A board of sliders. Each move is painted here at once, and told to Python: one message on its way, the newest next.

const LOST_MS = 5000; // an answer that takes longer than this may never come

class DialsView {
  constructor(model, el) {
    this.model = model;
    this.view = Math.random().toString(36).slice(2);
    this.count = 0;
    this.waiting = new Map(); // what is to be told of each row
    this.rows = new Map();
    this.root = make("div", "di-board");
    this.root.addEventListener("keydown", keepFromNotebook);
    el.append(this.root);
    this.take = () => this.show();
    this.release = () => this.released();
    for (const event of ["pointerup", "pointercancel"]) window.addEventListener(event, this.release);
    model.on("change:_shown", this.take);
    this.show();
  }

  stop() {
    clearTimeout(this.patience);
    for (const event of ["pointerup", "pointercancel"]) window.removeEventListener(event, this.release);
    this.model.off("change:_shown", this.take);
  }

  show() {
    const { columns } = this.model.get("_shown");
    const shape = JSON.stringify(columns.map(({ title, rows }) => [title, rows.map((row) => row.key)]));
    if (shape !== this.shape) {
      this.shape = shape;
      this.make(columns);
    }
    for (const row of columns.flatMap(({ rows }) => rows)) this.settle(this.rows.get(row.key));
  }

  make(columns) {
    const { key, className } = this.inFocus() ?? {};
    const old = this.rows;
    this.rows = new Map();
    this.root.replaceChildren(
      ...columns.map(({ title, rows }, at) => {
        const column = make("div", "di-column");
        column.setAttribute("role", "group");
        const name = make("div", "di-title", title);
        name.id = `di-${this.view}-${at}`;
        name.hidden = !title;
        column.setAttribute("aria-labelledby", name.id);
        column.append(name);
        for (const { key: mine } of rows) {
          const row = old.get(mine) ?? this.makeRow(mine);
          this.rows.set(mine, row);
          column.append(row.node);
        }
        return column;
      }),
    );
    if (key) this.rows.get(key)?.node.querySelector(`.${className}`)?.focus();
  }

  makeRow(key) {
    this.made = (this.made ?? 0) + 1;
    return new DialRow(key, `di-${this.view}-row-${this.made}`, (row, what) => this.tell(row, what));
  }

  inFocus() {
    const node = document.activeElement;
    const row = [...this.rows.values()].find((one) => one.node.contains(node));
    return row && { key: row.key, className: node.className };
  }

  // A row takes what Python shows, unless the hand has moved it since.
  settle(row) {
    const { columns, refused, heard } = this.model.get("_shown");
    const data = columns.flatMap(({ rows }) => rows).find(({ key }) => key === row.key);
    const newer = row.held || this.waiting.has(row.key) || row.sent > (heard[this.view] ?? 0);
    if (data && (!newer || !row.data)) row.take(data, refused[row.key]);
  }

  released() {
    for (const row of this.rows.values()) {
      if (row.held) {
        row.held = false;
        this.settle(row);
      }
    }
  }

  tell(row, what) {
    this.waiting.set(row.key, what);
    if (!this.busy) this.next();
  }

  next() {
    clearTimeout(this.patience);
    const [first] = this.waiting;
    this.busy = first !== undefined;
    if (!this.busy) return;
    const [key, what] = first;
    this.waiting.delete(key);
    const count = ++this.count;
    const row = this.rows.get(key);
    if (row) row.sent = count;
    const done = () => this.count === count && this.next();
    const status = ({ content }) => content.execution_state === "idle" && done();
    this.model.send({ view: this.view, count, key, ...what }, { iopub: { status } });
    this.patience = setTimeout(done, LOST_MS);
  }
}

export default {
  render({ model, el }) {
    const view = new DialsView(model, el);
    return () => view.stop();
  },
};
