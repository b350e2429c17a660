// Drawing the plan: what lies below the boxes is made anew when it changes, the boxes themselves are only patched.

const SVG = "http://www.w3.org/2000/svg";
const PAD = 11; // a thin box can still be met by a finger: so far around it, in pixels of the drawing

function draw(tag, attributes, ...children) {
  const node = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes || {})) if (value !== null) node.setAttribute(name, value);
  node.append(...children);
  return node;
}

function rect(name, at, more) {
  return draw("rect", { class: name, x: at.x, y: at.y, width: Math.max(at.w, 0), height: Math.max(at.h, 0), ...more });
}

function wordsAt(name, x, y, text, anchor) {
  return draw("text", { class: name, x, y, "text-anchor": anchor || "middle" }, text);
}

function drawGround(scene) {
  const nodes = [];
  if (!scene.deck) return nodes;
  for (const slat of scene.slats) nodes.push(rect("rp-slat", slat));
  nodes.push(rect("rp-deck", scene.deck, { rx: 4 }));
  for (const bar of scene.bars) {
    nodes.push(draw("line", { class: "rp-bar", x1: bar.x, x2: bar.x, y1: bar.y0, y2: bar.y1 }));
    for (const y of [bar.y0, bar.y1]) nodes.push(rect("rp-foot", { x: bar.x - 7, y: y - 4, w: 14, h: 8 }));
    nodes.push(wordsAt("rp-quiet", bar.x, bar.name_y, bar.name));
  }
  for (const side of scene.words) nodes.push(wordsAt("rp-quiet", side.x, side.y, side.text, side.anchor));
  if (scene.tray) {
    nodes.push(rect("rp-tray", scene.tray, { rx: 4 }));
    nodes.push(wordsAt("rp-quiet", scene.tray.x + 8, scene.tray.y + 17, scene.tray.text, "start"));
  }
  return nodes;
}

// What lies above the boxes, and never takes the pointer: tie points and the center of the load.
function drawMarks(scene) {
  const nodes = [];
  for (const point of scene.points || []) {
    const ring = draw("circle", { class: point.mark ? "rp-point rp-covered" : "rp-point", cx: point.x, cy: point.y, r: 6 });
    const group = draw("g", { role: "img", "aria-label": point.told }, draw("title", {}, point.told), ring);
    if (point.mark) group.append(wordsAt("rp-alarm", point.x + 9, point.y + 4, point.mark, "start"));
    nodes.push(group);
  }
  if (scene.load) {
    const { x, y, told } = scene.load;
    const cross = draw("path", { class: "rp-load", d: `M${x - 11},${y}H${x + 11}M${x},${y - 11}V${y + 11}` });
    const dot = draw("circle", { class: "rp-load-dot", cx: x, cy: y, r: 5 });
    nodes.push(draw("g", { role: "img", "aria-label": told }, draw("title", {}, told), cross, dot));
  }
  return nodes;
}

function makeBox(key) {
  const node = draw("g", { class: "rp-box", tabindex: 0, role: "button", "aria-roledescription": "movable box" });
  const box = { key, node, title: draw("title"), face: draw("rect", { rx: 3 }), text: draw("g", {}), pad: draw("rect", { class: "rp-pad" }) };
  node.dataset.key = box.pad.dataset.key = key;
  node.append(box.title, box.face, box.text);
  return box;
}

function patchBox(box, data) {
  box.data = data;
  const { node, face, pad } = box;
  setText(box.title, data.told);
  node.setAttribute("aria-label", data.told);
  node.classList.toggle("rp-wrong", data.wrong);
  node.classList.toggle("rp-pinned", data.pinned);
  node.classList.toggle("rp-guess", !data.size_known);
  for (const [name, value] of [["x", -data.w / 2], ["y", -data.h / 2], ["width", data.w], ["height", data.h]]) face.setAttribute(name, value);
  const pads = [["x", -data.w / 2 - PAD], ["y", -data.h / 2 - PAD], ["width", data.w + 2 * PAD], ["height", data.h + 2 * PAD]];
  for (const [name, value] of pads) pad.setAttribute(name, value);
  const words = JSON.stringify([data.lines, data.upright]);
  if (words !== box.words) {
    box.words = words;
    box.text.setAttribute("transform", data.upright ? "rotate(-90)" : "");
    const top = 4 - (data.lines.length - 1) * 7;
    box.text.replaceChildren(...data.lines.map((line, at) => wordsAt(at ? "rp-mass" : "rp-name", 0, top + at * 14, line)));
  }
  moveBox(box, data.cx, data.cy);
}

function moveBox(box, cx, cy) {
  const at = `translate(${cx.toFixed(2)} ${cy.toFixed(2)})`;
  box.node.setAttribute("transform", at);
  box.pad.setAttribute("transform", at);
}

// A box taken from the tray has its true size while it is held.
function growBox(box) {
  const { full_w: w, full_h: h } = box.data;
  for (const [name, value] of [["x", -w / 2], ["y", -h / 2], ["width", w], ["height", h]]) box.face.setAttribute(name, value);
}
