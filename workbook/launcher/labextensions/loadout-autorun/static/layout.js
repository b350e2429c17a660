// Lays a page of the workbook out as one screen: controls on one side, the answer on the other, and below them parts that
// stay closed until they are wanted. The notebook stays a notebook: its cells are only placed and hidden by CSS (page.css).
//
// What a cell is stands in its metadata, `workbook.place`: "head" (also when nothing is said), "controls", "answer", "words" (read by
// screen readers and by the tests), or "caution". A cell that begins with "## " starts a part, named by that line; the
// cells below belong to it, up to the next one that starts a part or has a place. `workbook.wide`: it spans both columns.

const PLACES = ['head', 'controls', 'answer', 'words', 'caution'];

/**
 * What each cell of a page is.
 *
 * @param cells the notebook's cell widgets, in order
 * @returns `{placed: [{cell, place}], parts: [{name, heading, cells, wide}]}`
 */
export function readPlan(cells) {
  const placed = [];
  const parts = [];
  let part = null;
  for (const cell of cells) {
    const said = cell.model.getMetadata('workbook') ?? {};
    const [first] = cell.model.sharedModel.source.split('\n', 1);
    if (PLACES.includes(said.place)) {
      part = null;
      placed.push({ cell, place: said.place });
    } else if (cell.model.type === 'markdown' && first.startsWith('## ')) {
      part = { name: first.slice(3).trim(), heading: cell, cells: [], wide: said.wide === true };
      parts.push(part);
    } else if (part) {
      part.cells.push(cell);
    } else {
      placed.push({ cell, place: 'head' });
    }
  }
  return { placed, parts };
}

/** Everything about one open page that the reader can fold, unfold, show, and hide. */
export class PageLayout {
  /**
   * @param panel the notebook's panel
   * @param run runs a list of cells and resolves when they are through
   * @param changed called after each change of what is open or shown
   */
  constructor(panel, run, changed) {
    this.panel = panel;
    this._run = run;
    this._changed = changed;
    this._built = new WeakSet(); // headings of parts whose cells have been run
    this._open = new Set(JSON.parse(localStorage.getItem(this._key('parts')) ?? '[]'));
    const own = panel.content.model.getMetadata('workbook')?.code ?? 'hidden';
    this._codeShown = (localStorage.getItem(this._key('code')) ?? own) === 'shown';
    panel.content.model.cells.changed.connect(() => this._soon());
    panel.node.addEventListener('focusin', ({ target }) => this._keepKeys(target));
    this.refresh();
  }

  get parts() {
    return readPlan(this.panel.content.widgets).parts;
  }

  get codeShown() {
    return this._codeShown;
  }

  get allOpen() {
    return this.parts.every(part => this._open.has(part.name));
  }

  /** The code cells that run when the page opens: what is in sight, then the words, then the parts that were left open. */
  firstCells() {
    const { placed, parts } = readPlan(this.panel.content.widgets);
    const order = ({ place }) => (place === 'words' ? 1 : 0);
    const seen = placed.toSorted((one, other) => order(one) - order(other)).map(({ cell }) => cell);
    const open = parts.filter(part => this._open.has(part.name));
    open.forEach(part => this._built.add(part.heading));
    return [...seen, ...open.flatMap(part => part.cells)];
  }

  showCode(shown) {
    this._codeShown = shown;
    localStorage.setItem(this._key('code'), shown ? 'shown' : 'hidden');
    if (shown) {
      this.panel.content.widgets.forEach(cell => (cell.inputHidden = false));
    }
    this.refresh();
  }

  async openAll(open) {
    await this._set(this.parts, open);
  }

  async toggle(name) {
    await this._set(this.parts.filter(part => part.name === name), !this._open.has(name));
  }

  /** Place every cell anew. */
  refresh() {
    const { placed, parts } = readPlan(this.panel.content.widgets);
    this.panel.node.dataset.loadoutCode = this._codeShown ? 'shown' : 'hidden';
    for (const { cell, place } of placed) {
      mark(cell, place, true);
    }
    for (const part of parts) {
      const open = this._open.has(part.name);
      mark(part.heading, 'part', true);
      this._name(part, open);
      part.cells.forEach(cell => mark(cell, 'in-part', open));
      for (const cell of [part.heading, ...part.cells]) {
        cell.node.toggleAttribute('data-loadout-wide', part.wide && open);
      }
    }
    this._rows();
    this._changed(this);
  }

  // The answer stands beside all rows down to the first part that takes the whole width. The row before that one takes what
  // the answer is longer than they are, so that the controls keep close together.
  _rows() {
    const cells = this.panel.content.widgets.map(cell => cell.node);
    const beside = node => ['controls', 'part', 'in-part'].includes(node.dataset.loadoutPlace) && !('loadoutWide' in node.dataset);
    const first = cells.findIndex(node => ['controls', 'answer'].includes(node.dataset.loadoutPlace));
    let row = 1;
    let from = 0;
    let to = 0;
    cells.forEach((node, index) => {
      if (node.dataset.loadoutPlace === 'answer') {
        return;
      }
      if (index >= first && beside(node) && !to) {
        from ||= row;
      } else if (from && !to) {
        to = row + 1;
        row += 1;
      }
      node.style.gridRow = `${row}`;
      row += 1;
    });
    const viewport = this.panel.content.viewportNode;
    viewport.removeAttribute('role'); // "feed": a list of articles, which a page of controls is not
    const last = to || row + 1;
    viewport.style.gridTemplateRows = from ? `repeat(${last - 2}, auto) minmax(0, 1fr)` : '';
    const answers = cells.filter(node => node.dataset.loadoutPlace === 'answer');
    answers.forEach(node => (node.style.gridRow = from ? `${from} / ${last}` : '2'));
    viewport.toggleAttribute('data-loadout-beside', answers.length > 0 && first >= 0);
  }

  // A key that is pressed on a control belongs to the control: JupyterLab would take an arrow on a menu for "leave this
  // cell" and "d" twice for "delete it". While the code is hidden, nobody means a cell by any key.
  _keepKeys(node) {
    node.toggleAttribute('data-lm-suppress-shortcuts', !this._codeShown || node.closest('.jp-OutputArea-output') !== null);
  }

  _name(part, open) {
    const { node } = part.heading;
    let button = node.querySelector(':scope > .loadout-part-name > button');
    if (!button) {
      const heading = document.createElement('h2');
      heading.className = 'loadout-part-name';
      button = document.createElement('button');
      button.type = 'button';
      button.addEventListener('click', () => this.toggle(button.textContent));
      heading.append(button);
      node.prepend(heading);
    }
    button.textContent = part.name;
    button.setAttribute('aria-expanded', `${open}`);
  }

  async _set(parts, open) {
    for (const { name } of parts) {
      open ? this._open.add(name) : this._open.delete(name);
    }
    localStorage.setItem(this._key('parts'), JSON.stringify([...this._open]));
    const anew = open ? parts.filter(part => !this._built.has(part.heading)) : [];
    anew.forEach(part => this._built.add(part.heading));
    this.refresh();
    if (anew.length) {
      await this._run(anew.flatMap(part => part.cells));
    }
  }

  _soon() {
    clearTimeout(this._waiting);
    this._waiting = setTimeout(() => !this.panel.isDisposed && this.refresh());
  }

  _key(what) {
    return `loadout-${what}:${this.panel.context.path}`;
  }
}

function mark(cell, place, shown) {
  cell.node.dataset.loadoutPlace = place;
  cell.node.toggleAttribute('data-loadout-folded', !shown);
}
