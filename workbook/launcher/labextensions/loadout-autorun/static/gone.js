// When the workbook's server is gone (its window was closed, or it was ended): the page says so in plain words with the
// command that brings it back, remembers what is typed meanwhile, and goes on by itself once the server answers again.
//
// A server that was started anew has other kernels, so the page is loaded anew. The browser still has its cookie, which
// outlives a restart at the same address; the command names the port for that reason.

import { outlive, putBack, remember } from './typed.js';

const AGAIN_MS = 1000;
const TURNS = 5;

/** What the server says of itself: when it was started; null when it doesn't answer, '' when it doesn't know this browser. */
async function startedAt(base) {
  try {
    const answer = await fetch(`${base}api/status`, { cache: 'no-store' });
    return answer.ok ? (await answer.json()).started : '';
  } catch {
    return null;
  }
}

/** Watches over the server for all notebooks that are open in this tab. */
export class Watch {
  /**
   * @param app JupyterLab
   * @param base the server's address
   * @param command what brings it back
   * @param paths which notebooks are pages: what is typed into their fields is remembered
   */
  constructor(app, base, command, paths) {
    this._contents = app.serviceManager.contents;
    this._base = base;
    this._command = command;
    this._paths = paths;
    this._panels = new Set();
    this._gone = false;
    this._started = startedAt(base);
    app.serviceManager.connectionFailure.connect(() => this._doubt());
    this._outlived = remember(command, field => this._placeOf(field), path => this._answers(path));
  }

  /** An open notebook: its lost kernel may mean a lost server, and JupyterLab doesn't try to save it meanwhile. */
  add(panel, context) {
    this._panels.add(panel);
    panel.disposed.connect(() => this._panels.delete(panel));
    const session = context.sessionContext;
    session.connectionStatusChanged.connect((_, status) => status !== 'connected' && this._doubt());
    session.statusChanged.connect((_, status) => ['dead', 'autorestarting'].includes(status) && this._doubt());
    const save = context.save.bind(context);
    context.save = async () => {
      if (this._gone) {
        throw new Error('The workbook is closed, so nothing can be saved.');
      }
      return save();
    };
  }

  // Something did not answer: is it the server? One that is being closed still answers for a moment.
  async _doubt() {
    if (this._gone || this._asking) {
      return;
    }
    this._asking = true;
    const before = await this._started;
    for (let turn = 0; turn < TURNS && !this._gone; turn++) {
      this._gone = (await startedAt(this._base)) === null;
      await new Promise(again => setTimeout(again, this._gone ? 0 : AGAIN_MS));
    }
    this._asking = false;
    if (this._gone) {
      this._show();
      this._wait(before);
    }
  }

  _wait(before) {
    setTimeout(async () => {
      const now = await startedAt(this._base);
      if (!now) {
        this._tell(now === '');
        this._wait(before);
      } else if (now === before) {
        this._gone = false; // it was only out of reach, with all its kernels
        this._notice.remove();
        delete document.body.dataset.loadoutGone;
      } else {
        await this._goOn();
      }
    }, AGAIN_MS);
  }

  async _goOn() {
    this._gone = false;
    for (const { context } of this._panels) {
      if (this._paths.includes(context.path)) {
        await this._keepCode(context);
      } else if (context.model.dirty) {
        await context.save(); // a notebook of the reader's own
      }
    }
    // Pages run anew: JupyterLab needn't ask whether to leave them.
    window.addEventListener('beforeunload', event => event.stopImmediatePropagation(), true);
    location.reload();
  }

  // The start has put fresh pages into their places. Code that somebody wrote into one goes into a notebook beside it.
  async _keepCode(context) {
    const content = context.model.toJSON();
    const fresh = (await this._contents.get(context.path)).content;
    const code = page => JSON.stringify(page.cells.map(cell => [cell.source].flat().join('')));
    if (code(content) !== code(fresh)) {
      const name = context.path.replace(/\.ipynb$/, ` (yours, ${new Date().toISOString().replaceAll(':', '.')}).ipynb`);
      await this._contents.save(name, { type: 'notebook', format: 'json', content });
    }
  }

  /** Enter again what was typed into a page while the server was gone; say what came back, and what has to be typed again. */
  bringBack(panel) {
    const typed = this._outlived.filter(({ path }) => path === panel.context.path);
    if (!typed.length) {
      return;
    }
    this._outlived = this._outlived.filter(one => !typed.includes(one));
    const failed = typed.filter(one => !putBack(panel, one));
    const said = notice();
    const list = entries => entries.map(({ name, value }) => `${name}: ${value}`).join('; ');
    const done = typed.filter(one => !failed.includes(one));
    const sentences = [
      done.length && `The workbook is back. Entered again as you had typed it: ${list(done)}.`,
      failed.length && `Not kept, and its place has changed; enter it again yourself: ${list(failed)}.`
    ];
    const close = document.createElement('button');
    close.type = 'button';
    close.textContent = 'Seen';
    close.addEventListener('click', () => said.remove());
    said.append(sentences.filter(Boolean).join(' '), ' ', close);
  }

  _placeOf(field) {
    const panel = [...this._panels].find(({ node, context }) => node.contains(field) && this._paths.includes(context.path));
    const cell = panel?.content.widgets.find(({ node }) => node.contains(field));
    return cell ? { path: panel.context.path, cell: cell.model.id } : null;
  }

  _answers(path) {
    const panel = [...this._panels].find(({ context }) => context.path === path);
    const kernel = panel?.context.sessionContext.session?.kernel;
    return !this._gone && kernel?.connectionStatus === 'connected' && kernel.status === 'idle';
  }

  _show() {
    outlive(this._command);
    document.body.dataset.loadoutGone = 'yes'; // JupyterLab's own words about it are put away (gone.css)
    this._notice = notice();
    const lead = document.createElement('strong');
    lead.textContent = 'The workbook is closed.';
    const command = document.createElement('code');
    command.textContent = this._command;
    this._stranger = document.createElement('span');
    this._notice.append(
      lead, ' What you enter now is not kept yet, and no number follows it. To go on, open a terminal in the folder of the workbook and type', command,
      'This page then goes on by itself, with what you have typed.', this._stranger
    );
  }

  // Something answers at the address, but takes this browser for a stranger.
  _tell(isStranger) {
    this._stranger.textContent = isStranger ? ' Something answers again, but asks for the address: open the one that the command prints, in this browser.' : '';
  }
}

function notice() {
  const made = document.createElement('div');
  made.className = 'loadout-notice';
  made.setAttribute('role', 'alert');
  document.body.append(made);
  return made;
}
