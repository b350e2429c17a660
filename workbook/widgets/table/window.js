// Which rows stand in the page. Of a long table only those near what is seen do, with empty room above and below: the
// browser takes seconds to lay out thousands of boxes, and a page that hangs for two loses messages to its widgets.

const NEAR_ROWS = 60; // drawn beyond what is seen, to either side
const ROW_PX = 33; // until a row has been measured

function heightOf(t, key) {
  return t.rows.get(key)?.px || ROW_PX;
}

// The places [first, end) in the order of what is near the eye.
function nearRows(t) {
  const { order } = t;
  if (t.whole) return [0, order.length];
  const { scrollTop, clientHeight } = t.frame.scroll;
  let first = 0;
  let y = 0;
  while (first < order.length - 1 && y + heightOf(t, order[first]) <= scrollTop) y += heightOf(t, order[first++]);
  let end = first;
  while (end < order.length && y < scrollTop + clientHeight) y += heightOf(t, order[end++]);
  return [Math.max(0, first - NEAR_ROWS), Math.min(order.length, end + NEAR_ROWS)];
}

function makeGap(t, px) {
  const tr = make("tr", "wb-gap");
  const td = make("td");
  tr.setAttribute("aria-hidden", "true");
  td.colSpan = t.columns.length + (t.pickable ? 1 : 0);
  td.style.height = `${px}px`;
  tr.append(td);
  return tr;
}

// The row with the keyboard stays in the page wherever the eye goes: typing goes on in it.
function wantedNodes(t, [first, end]) {
  const nodes = [];
  let at = 0;
  const put = (from, to) => {
    const px = t.order.slice(at, from).reduce((sum, key) => sum + heightOf(t, key), 0);
    if (px) nodes.push(makeGap(t, px));
    for (at = from; at < to; at += 1) {
      const row = t.row(t.order[at]);
      row.tr.setAttribute("aria-rowindex", String(at + 2)); // the header is the first
      nodes.push(...[row.tr, row.why].filter(Boolean));
    }
  };
  const kept = t.order.indexOf(t.cellOf.get(t.held || activeBox(t))?.row.key);
  if (kept >= 0 && kept < first) put(kept, kept + 1);
  put(first, end);
  if (kept >= end) put(kept, kept + 1);
  put(t.order.length, t.order.length);
  return nodes;
}

function drawRows(t) {
  const { body, table } = t.frame;
  t.drawn = nearRows(t);
  table.setAttribute("aria-rowcount", String(t.order.length + 1));
  const nodes = wantedNodes(t, t.drawn);
  const wanted = new Set(nodes);
  for (const node of [...body.children]) if (!wanted.has(node)) node.remove();
  let at = body.firstChild;
  for (const node of nodes) {
    if (node === at) at = at.nextSibling;
    else body.insertBefore(node, at);
  }
  keepStop(t);
}

// Half of what is drawn beyond the edge may be scrolled past first: many rows at once cost less than one at each step.
function onScroll(t) {
  const [first, end] = nearRows(t);
  if (Math.abs(first - t.drawn[0]) < NEAR_ROWS / 2 && Math.abs(end - t.drawn[1]) < NEAR_ROWS / 2) return;
  for (const row of t.rows.values()) {
    if (row.tr.parentNode) row.px = row.tr.offsetHeight + (row.why ? row.why.offsetHeight : 0);
  }
  drawRows(t);
}

// The row of a key, in the page and near the eye.
function bringIn(t, key) {
  const { body, scroll } = t.frame;
  const row = t.row(key);
  if (row.tr.parentNode === body) return row;
  const above = t.order.slice(0, t.order.indexOf(key)).reduce((sum, one) => sum + heightOf(t, one), 0);
  scroll.scrollTop = above - scroll.clientHeight / 2;
  drawRows(t);
  return row;
}

// Paper has no window: every row is printed.
function drawAll(t, whole) {
  t.whole = whole;
  drawRows(t);
}
