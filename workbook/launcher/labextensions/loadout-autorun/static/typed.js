// What is typed into the pages' fields, until it is surely kept: in the tab's own store, which outlives a reload.
//
// A field is known by its page, its cell, its name, and what stood in it before. Where one of them is another after the
// reload, nothing is entered: a number in the wrong field would be worse than one that has to be typed again.

const KEPT_MS = 3000; // after its kernel has answered a change, this long until the season has surely taken it
const FIELDS = 'input:not([type=checkbox], [type=radio], [type=file], [type=button], [type=search]), textarea, select';

const key = server => `loadout-typed:${server}`;
const read = server => JSON.parse(sessionStorage.getItem(key(server)) ?? '[]');
const write = (server, typed) => sessionStorage.setItem(key(server), JSON.stringify(typed));
const isSame = (one, other) => one.path === other.path && one.cell === other.cell && one.name === other.name;

/** The server is gone: what is typed shall outlive the next start of this tab. */
export function outlive(server) {
  sessionStorage.setItem(`${key(server)}:gone`, 'yes');
}

// A tab that its reader loads anew while all is well starts with nothing: what was refused there shall not come back.
function startAnew(server) {
  const outlived = sessionStorage.getItem(`${key(server)}:gone`) === null ? [] : read(server);
  write(server, []);
  sessionStorage.removeItem(`${key(server)}:gone`);
  return outlived;
}

/**
 * Remember from now on what is typed.
 *
 * @param server tells one workbook from another
 * @param cellOf finds `{path, cell}` of a field on a page, null for any other
 * @param answers whether the kernel of the page at a path is there and idle
 * @returns what was typed before this tab was loaded and outlived its server: `[{path, cell, name, before, value}]`
 */
export function remember(server, cellOf, answers) {
  const outlived = startAnew(server);
  const before = new WeakMap(); // what stood in a field when it was entered
  const placeOf = field => {
    const place = field.matches?.(FIELDS) && cellOf(field);
    const name = place && nameOf(field);
    return name ? { ...place, name } : null;
  };
  document.addEventListener('focusin', ({ target }) => placeOf(target) && before.set(target, target.value), true);
  document.addEventListener('input', ({ target }) => note(target), true);
  document.addEventListener('change', ({ target }) => {
    const place = note(target);
    before.delete(target);
    if (place) {
      setTimeout(dropKept, KEPT_MS, { ...place, value: target.value });
    }
  }, true);

  function note(field) {
    const place = placeOf(field);
    if (!place) {
      return null;
    }
    const typed = read(server);
    const old = typed.find(one => isSame(one, place));
    const entry = { ...place, before: old?.before ?? before.get(field) ?? field.defaultValue ?? '', value: field.value };
    write(server, [...typed.filter(one => one !== old), entry]);
    return place;
  }

  // Once more typed over meanwhile, it has a wait of its own.
  function dropKept(done) {
    const typed = read(server);
    if (!typed.some(one => isSame(one, done) && one.value === done.value)) {
      return;
    }
    if (answers(done.path)) {
      write(server, typed.filter(one => !isSame(one, done)));
    } else {
      setTimeout(dropKept, KEPT_MS, done);
    }
  }

  return outlived;
}

/** Enter again what was typed. @returns whether its field is there, and as it was */
export function putBack(panel, { cell, name, before, value }) {
  const place = panel.content.widgets.find(one => one.model.id === cell);
  const fields = [...(place?.node.querySelectorAll(FIELDS) ?? [])].filter(one => nameOf(one) === name);
  if (fields.length !== 1 || fields[0].value !== before) {
    return false;
  }
  const [field] = fields;
  field.focus({ preventScroll: true });
  field.value = value;
  field.dispatchEvent(new Event('input', { bubbles: true }));
  field.dispatchEvent(new Event('change', { bubbles: true }));
  field.blur();
  return true;
}

function nameOf(field) {
  const labels = [...(field.labels ?? [])].map(label => label.textContent);
  const row = field.closest('.widget-inline-hbox, .widget-hbox')?.querySelector('label, .widget-label');
  const named = [field.getAttribute('aria-label'), ...labels, field.placeholder, row?.textContent];
  return (named.find(text => text?.trim()) ?? '').trim();
}
