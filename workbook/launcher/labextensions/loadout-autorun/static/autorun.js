// Lays out the pages of the workbook (layout.js, frame.js, page.css) and runs a page when it is opened (run.js), so that
// nobody has to know about cells.
//
// Written by hand in the shape that JupyterLab's loader expects of a ready-made extension: no build step. This file is the
// loader's door; what it does stands in modules beside it.
(function () {
  'use strict';

  const here = document.currentScript.src;
  const beside = name => new URL(name, here).href;
  let shared = null;

  async function load(name) {
    const [version] = Object.values(shared[name]);
    return (await version.get())();
  }

  function addStyle(name) {
    const link = document.createElement('link');
    link.rel = 'stylesheet';
    link.href = beside(name);
    document.head.append(link);
  }

  // JupyterLab's own window about a lost server stays away: gone.js says it, and on the page.
  const quiet = application => ({
    id: 'loadout-autorun:connection-lost',
    autoStart: true,
    provides: application.IConnectionLost,
    activate: () => async () => {}
  });

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB['loadout-autorun'] = {
    init: scope => {
      shared = scope;
    },
    get: async () => {
      addStyle('page.css');
      addStyle('gone.css');
      const [{ plugin }, application, coreutils, notebook] = await Promise.all([
        import(beside('plugin.js')), load('@jupyterlab/application'), load('@jupyterlab/coreutils'), load('@jupyterlab/notebook')
      ]);
      return () => ({ __esModule: true, default: [quiet(application), plugin(coreutils, notebook)] });
    }
  };
})();
