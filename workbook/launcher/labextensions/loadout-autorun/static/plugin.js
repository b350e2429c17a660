// The workbook's plugin: what happens when JupyterLab starts and when a notebook is opened.

import { addBar, Tools } from './frame.js';
import { Watch } from './gone.js';
import { PageLayout } from './layout.js';
import { endForgottenKernels, holdKernel, mayRun, ready, runner, waitLonger } from './run.js';

export function plugin(coreutils, notebook) {
  const pages = JSON.parse(coreutils.PageConfig.getOption('loadoutPages') || '[]');
  const paths = pages.map(({ path }) => path);
  const command = coreutils.PageConfig.getOption('loadoutCommand');
  const actions = notebook.NotebookActions;
  const runs = new WeakMap(); // by context: a second view of an open page runs nothing anew
  const layouts = new WeakMap(); // by panel

  // Only a page that may run is laid out: elsewhere the reader sees every cell and its code before anything runs.
  async function layOut(app, tools, panel, context) {
    await context.ready;
    if (!mayRun(context, paths)) {
      return;
    }
    const run = runs.get(context) ?? runner(panel, actions);
    runs.set(context, run);
    let show = () => {};
    const layout = new PageLayout(panel, run, () => {
      show();
      tools.follow();
    });
    layouts.set(panel, layout);
    show = addBar(panel, layout, pages, path => app.commands.execute('docmanager:open', { path }));
    tools.follow();
  }

  async function runFirst(app, watch, panel, context, laidOut) {
    const held = holdKernel(context, paths);
    await app.restored;
    if (await ready(panel, paths, actions, held)) {
      await laidOut;
      await runs.get(context)(layouts.get(panel).firstCells());
      watch.bringBack(panel);
    }
  }

  return {
    id: 'loadout-autorun:plugin',
    description: "Lays out the workbook's own pages and runs them when they are opened.",
    autoStart: true,
    // JupyterLab opens no notebook before this is through.
    activate: async app => {
      waitLonger();
      const tools = new Tools(app, widget => layouts.get(widget));
      const watch = new Watch(app, coreutils.PageConfig.getBaseUrl(), command, paths);
      const started = new WeakSet();
      app.docRegistry.addWidgetExtension('Notebook', {
        createNew: (panel, context) => {
          const laidOut = layOut(app, tools, panel, context);
          if (!started.has(context)) {
            started.add(context);
            watch.add(panel, context);
            runFirst(app, watch, panel, context, laidOut).catch(error => console.error('This page could not run by itself:', error));
          }
        }
      });
      const asked = coreutils.PageConfig.getOption('treePath');
      if (paths.includes(asked)) {
        // JupyterLab itself opens the page of the address only once it has written down what is open: a second later.
        app.restored.then(() => app.commands.execute('docmanager:open', { path: asked }));
      }
      await endForgottenKernels(app.serviceManager.sessions, paths);
    }
  };
}
