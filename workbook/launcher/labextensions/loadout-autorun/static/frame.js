// What stands around a page: the row of page names with the two switches, and whether JupyterLab's own tools are in sight.

/**
 * Put the row of page names on top of a page.
 *
 * @param panel the notebook's panel
 * @param layout its PageLayout
 * @param pages `[{path, name}]`, in the order of the row
 * @param open opens the page at a path
 * @returns called after each change of what is open or shown
 */
export function addBar(panel, layout, pages, open) {
  const bar = document.createElement('nav');
  bar.className = 'loadout-bar';
  bar.setAttribute('aria-label', 'Pages');
  const names = document.createElement('span');
  names.className = 'loadout-bar-names';
  const list = document.createElement('select');
  list.className = 'loadout-bar-list';
  list.setAttribute('aria-label', 'Page');
  for (const { path, name } of pages) {
    const here = path === panel.context.path;
    const link = button(name, () => open(path));
    if (here) {
      link.setAttribute('aria-current', 'page');
    }
    names.append(link);
    list.append(new Option(name, path, here, here));
  }
  list.addEventListener('change', () => {
    open(list.value);
    list.value = panel.context.path; // this page's own list keeps saying where it is
  });
  const parts = button('', () => layout.openAll(!layout.allOpen));
  const code = button('', () => layout.showCode(!layout.codeShown));
  const switches = document.createElement('span');
  switches.className = 'loadout-bar-switches';
  switches.append(parts, code);
  bar.append(names, list, switches);
  panel.content.outerNode.prepend(bar);

  // "page 03" in any words of a panel.
  panel.node.addEventListener('click', event => {
    const link = event.target.closest('a[data-loadout-page]');
    const page = link && pages.find(({ path }) => path.startsWith(`${link.dataset.loadoutPage}-`));
    if (page) {
      event.preventDefault();
      open(page.path);
    }
  });

  function show() {
    parts.hidden = layout.parts.length === 0;
    parts.textContent = layout.allOpen ? 'Close all parts' : 'Open all parts';
    code.textContent = layout.codeShown ? 'Hide the code' : 'Show the code';
  }
  show();
  return show;
}

function button(text, press) {
  const made = document.createElement('button');
  made.type = 'button';
  made.textContent = text;
  made.addEventListener('click', press);
  return made;
}

/**
 * JupyterLab's own menus, sidebars, tabs, and status bar. They are put away while a page of the workbook is in front whose
 * code is hidden, and are there beside everything else.
 */
export class Tools {
  /**
   * @param app JupyterLab
   * @param layoutOf finds the PageLayout of a widget in front, undefined for anything that isn't a page
   */
  constructor(app, layoutOf) {
    this._app = app;
    this._layoutOf = layoutOf;
    app.shell.currentChanged?.connect(() => this.follow());
    app.restored.then(() => this.follow()); // bringing back the last layout brings the tools back too
  }

  // Later, when what is in front has its place among the tabs: JupyterLab tells of it before.
  follow() {
    clearTimeout(this._waiting);
    this._waiting = setTimeout(() => {
      const layout = this._layoutOf(this._app.shell.currentWidget);
      this._show(!layout || layout.codeShown);
    });
  }

  _show(shown) {
    const { shell, commands } = this._app;
    for (const { parent } of shell.widgets('menu')) {
      parent?.setHidden(!shown);
    }
    if (!shown) {
      shell.collapseLeft();
      shell.collapseRight();
    }
    const mode = shown ? 'multiple-document' : 'single-document';
    if (shell.mode !== mode) {
      shell.mode = mode;
    }
    if (shell.isTopInSimpleModeVisible() !== shown) {
      shell.toggleTopInSimpleModeVisibility();
    }
    for (const side of ['left', 'right']) {
      if (shell.isSideTabBarVisible(side) !== shown) {
        shell.toggleSideTabBarVisibility(side);
      }
    }
    const status = document.getElementById('jp-main-statusbar');
    if (status && status.classList.contains('lm-mod-hidden') === shown) {
      commands.execute('statusbar:toggle');
    }
  }
}
