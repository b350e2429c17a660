// Running a page of the workbook when it is opened.
//
// A notebook runs by itself only when all of these hold:
//   - the server says that it is one of the pages which the launcher put there (page option "loadoutPages"),
//   - its own metadata asks for it: workbook.autorun is true,
//   - every code cell is trusted, which means that the launcher (or this browser's user) signed this content.
// Any other notebook waits for its reader, and gets a kernel only when its reader runs a cell.

const PATIENCE_MS = 30000;

export function mayRun(context, pages) {
  const asked = context.model.getMetadata('workbook')?.autorun === true;
  const trusted = [...context.model.cells].every(cell => cell.type !== 'code' || cell.trusted);
  return pages.includes(context.path) && asked && trusted;
}

// anywidget waits two seconds for a widget's script. Where the browser is busy for longer, as over a chart's five megabytes
// on a slow machine, it drops every later message to that widget without a word: an old picture stands beside new numbers.
export function waitLonger() {
  const timeout = AbortSignal.timeout.bind(AbortSignal);
  AbortSignal.timeout = ms => timeout(Math.max(ms, PATIENCE_MS));
}

// Resolves when the page is first seen: a tab in the background runs when its reader comes to it.
function seen(node) {
  return new Promise(resolve => {
    const observer = new IntersectionObserver(entries => {
      if (entries.some(entry => entry.isIntersecting)) {
        observer.disconnect();
        resolve();
      }
    });
    observer.observe(node);
  });
}

// After a reload the kernels of the earlier run still live, and their widgets with them; but the page is run anew,
// so it gets a new kernel. Pages that are open in another window are connected, and stay as they are.
export async function endForgottenKernels(sessions, pages) {
  await sessions.ready;
  await sessions.refreshRunning();
  const forgotten = [...sessions.running()].filter(
    session => pages.includes(session.path) && session.kernel?.connections === 0
  );
  await Promise.all(forgotten.map(session => sessions.shutdown(session.id)));
}

// JupyterLab starts a kernel for whatever is opened. Here only a page that may run gets one at once; elsewhere it comes
// when the reader runs a cell or picks a kernel. One that the reader had started before a reload is found again.
// Resolves when JupyterLab has been through.
export function holdKernel(context, pages) {
  const session = context.sessionContext;
  const initialize = session.initialize.bind(session);
  return new Promise(resolve => {
    session.initialize = async () => {
      await context.ready;
      if (mayRun(context, pages)) {
        return initialize();
      }
      session.startKernel = async () => true; // "none was chosen": the session stays as it is, waiting for one
      await initialize();
      delete session.startKernel;
      resolve();
      return false; // and nobody is asked to choose one
    };
  });
}

// Runs lists of cells one after the other. How far it has come stands on the panel's own element, data-loadout-run: the
// browser tests read it there.
export function runner(panel, actions) {
  let before = Promise.resolve();
  let waiting = 0;
  let good = true;
  return cells => {
    waiting += 1;
    panel.node.dataset.loadoutRun = 'waiting';
    before = before.then(async () => {
      if (panel.isDisposed) {
        return;
      }
      const code = cells.filter(cell => cell.model.type === 'code');
      good = (await actions.runCells(panel.content, code, panel.context.sessionContext)) && good;
      waiting -= 1;
      if (!waiting && !panel.isDisposed) {
        await panel.context.save(); // a working copy: leaving the page then asks no question
        panel.node.dataset.loadoutRun = good ? 'done' : 'failed';
      }
    });
    return before;
  };
}

// Resolves to whether the page may run, when its kernel is there and the reader looks at it.
export async function ready(panel, pages, actions, held) {
  const context = panel.context;
  await context.ready;
  if (!mayRun(context, pages)) {
    await held;
    panel.node.dataset.loadoutRun = 'left alone';
    return false;
  }
  panel.node.dataset.loadoutRun = 'waiting';
  // What an earlier run left in the file may be another season's numbers, or controls that answer nobody.
  actions.clearAllOutputs(panel.content);
  await seen(panel.node);
  await context.sessionContext.ready;
  await context.sessionContext.session?.kernel?.info; // answered only once the kernel is connected
  return !panel.isDisposed;
}
