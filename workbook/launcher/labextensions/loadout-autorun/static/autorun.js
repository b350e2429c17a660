// Runs a page of the workbook when it is opened, so that nobody has to know about cells.
//
// A notebook runs by itself only when all of these hold:
//   - the server says that it is one of the pages which the launcher put there (page option "loadoutPages"),
//   - its own metadata asks for it: workbook.autorun is true,
//   - every code cell is trusted, which means that the launcher (or this browser's user) signed this content.
// Any other notebook waits for its reader, and gets a kernel only when its reader runs a cell.
//
// Written by hand in the shape that JupyterLab's loader expects of a ready-made extension: no build step.
(function () {
  'use strict';

  const PATIENCE_MS = 30000;
  let shared = null;

  async function load(name) {
    const [version] = Object.values(shared[name]);
    return (await version.get())();
  }

  function mayRun(context, pages) {
    const asked = context.model.getMetadata('workbook')?.autorun === true;
    const trusted = [...context.model.cells].every(cell => cell.type !== 'code' || cell.trusted);
    return pages.includes(context.path) && asked && trusted;
  }

  // anywidget waits two seconds for a widget's script. Where the browser is busy for longer, as over a chart's five megabytes
  // on a slow machine, it drops every later message to that widget without a word: an old picture stands beside new numbers.
  function waitLonger() {
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
  async function endForgottenKernels(sessions, pages) {
    await sessions.ready;
    await sessions.refreshRunning();
    const forgotten = [...sessions.running()].filter(
      session => pages.includes(session.path) && session.kernel?.connections === 0
    );
    await Promise.all(forgotten.map(session => sessions.shutdown(session.id)));
  }

  // A key that is pressed on a control belongs to the control. JupyterLab would take it for a command of the notebook:
  // an arrow on a menu leaves for another cell, and "d" twice deletes one.
  function keepKeys(panel) {
    panel.node.addEventListener('focusin', event => {
      const control = event.target;
      if (control.matches('select, button, input, textarea, a, [tabindex]') && control.closest('.jp-OutputArea-output')) {
        control.dataset.lmSuppressShortcuts = 'true';
      }
    });
  }

  // JupyterLab starts a kernel for whatever is opened. Here only a page that may run gets one at once; elsewhere it comes
  // when the reader runs a cell or picks a kernel. One that the reader had started before a reload is found again.
  // Resolves when JupyterLab has been through.
  function holdKernel(context, pages) {
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

  // How far it has come stands on the panel's own element, data-loadout-run: the browser tests read it there.
  async function run(panel, pages, actions, held) {
    const context = panel.context;
    await context.ready;
    if (!mayRun(context, pages)) {
      await held;
      panel.node.dataset.loadoutRun = 'left alone';
      return;
    }
    panel.node.dataset.loadoutRun = 'waiting';
    // What an earlier run left in the file may be another season's numbers, or controls that answer nobody.
    actions.clearAllOutputs(panel.content);
    await seen(panel.node);
    await context.sessionContext.ready;
    await context.sessionContext.session?.kernel?.info; // answered only once the kernel is connected
    if (panel.isDisposed) {
      return;
    }
    const good = await actions.runCells(panel.content, [...panel.content.widgets], context.sessionContext);
    if (!panel.isDisposed) {
      await context.save(); // a working copy: leaving the page then asks no question
      panel.node.dataset.loadoutRun = good ? 'done' : 'failed';
    }
  }

  function plugin(coreutils, notebook) {
    return {
      id: 'loadout-autorun:plugin',
      description: "Runs the workbook's own pages when they are opened.",
      autoStart: true,
      // JupyterLab opens no notebook before this is through.
      activate: async app => {
        waitLonger();
        const pages = JSON.parse(coreutils.PageConfig.getOption('loadoutPages') || '[]');
        const started = new WeakSet(); // a second view of an open page shows what is there already
        app.docRegistry.addWidgetExtension('Notebook', {
          createNew: (panel, context) => {
            if (pages.includes(context.path)) {
              keepKeys(panel);
            }
            if (!started.has(context)) {
              started.add(context);
              const held = holdKernel(context, pages);
              app.restored
                .then(() => run(panel, pages, notebook.NotebookActions, held))
                .catch(error => console.error('This page could not run by itself:', error));
            }
          }
        });
        await endForgottenKernels(app.serviceManager.sessions, pages);
      }
    };
  }

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB['loadout-autorun'] = {
    init: scope => {
      shared = scope;
    },
    get: async () => {
      const [coreutils, notebook] = await Promise.all([load('@jupyterlab/coreutils'), load('@jupyterlab/notebook')]);
      return () => ({ __esModule: true, default: plugin(coreutils, notebook) });
    }
  };
})();
