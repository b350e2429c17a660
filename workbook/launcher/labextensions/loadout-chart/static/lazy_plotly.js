// Draws a plotly figure that a notebook shows by itself, as `figure.show()` does, by plotly's own extension of JupyterLab.
//
// That extension is 4.8 megabytes, and JupyterLab would load it with every page. The server leaves it out of the list
// (page option "loadoutHeldBack", workbook/launcher/held_back.py); here it is loaded when the first such figure comes.
//
// Written by hand in the shape that JupyterLab's loader expects of a ready-made extension: no build step.
(function () {
  'use strict';

  const MIME_TYPE = 'application/vnd.plotly.v1+json';
  let shared = null;
  let loading = null;

  async function load(name) {
    const [version] = Object.values(shared[name]);
    return (await version.get())();
  }

  function loadScript(address) {
    return new Promise((resolve, reject) => {
      const script = document.createElement('script');
      script.src = address;
      script.onload = resolve;
      script.onerror = () => {
        script.remove();
        reject(new Error('The server did not send what draws it.'));
      };
      document.head.append(script);
    });
  }

  // What JupyterLab does with an extension at its start.
  async function plotlysFactory(config) {
    const [held] = JSON.parse(config.getOption('loadoutHeldBack'));
    await loadScript(`${config.getOption('fullLabextensionsUrl')}/${held.name}/${held.load}`);
    const container = window._JUPYTERLAB[held.name];
    await container.init(shared);
    const made = (await container.get(held.mimeExtension))().default;
    return (Array.isArray(made) ? made : [made])[0].rendererFactory;
  }

  function makeRenderer(widgets, config, options) {
    const panel = new widgets.Panel();
    panel.renderModel = async model => {
      try {
        loading ??= plotlysFactory(config);
        const factory = await loading;
        if (panel.isDisposed) {
          return;
        }
        if (!panel.widgets.length) {
          panel.addWidget(factory.createRenderer(options));
        }
        await panel.widgets[0].renderModel(model);
      } catch (error) {
        loading = null; // the next figure tries again
        panel.node.textContent = `This chart could not be drawn. ${error.message}`;
      }
    };
    return panel;
  }

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB['loadout-chart'] = {
    init: scope => {
      shared = scope;
    },
    get: async () => {
      const [coreutils, widgets] = await Promise.all([load('@jupyterlab/coreutils'), load('@lumino/widgets')]);
      const extension = {
        id: 'loadout-chart:lazy-plotly',
        rendererFactory: {
          safe: true, // as plotly's own says: data, no code
          mimeTypes: [MIME_TYPE],
          createRenderer: options => makeRenderer(widgets, coreutils.PageConfig, options)
        },
        rank: 0,
        dataType: 'json'
      };
      return () => ({ __esModule: true, default: extension });
    }
  };
})();
