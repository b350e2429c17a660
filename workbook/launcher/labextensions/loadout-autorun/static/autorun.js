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

  function addStyle() {
    const link = document.createElement('link');
    link.rel = 'stylesheet';
    link.href = beside('page.css');
    document.head.append(link);
  }

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB['loadout-autorun'] = {
    init: scope => {
      shared = scope;
    },
    get: async () => {
      addStyle();
      const [{ plugin }, coreutils, notebook] = await Promise.all([
        import(beside('plugin.js')), load('@jupyterlab/coreutils'), load('@jupyterlab/notebook')
      ]);
      return () => ({ __esModule: true, default: plugin(coreutils, notebook) });
    }
  };
})();
