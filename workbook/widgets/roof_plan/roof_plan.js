// One view of the plan. Python owns what is drawn; the browser sends numbered wishes and never writes a trait.

const STUCK_AFTER_MS = 4000; // an answer this late will not come: go on sending
const MEANT_PX = 4; // less than this is a tap, not a drag

class PlanView {
  constructor(model, el) {
    this.model = model;
    this.id = `rp-${Math.random().toString(36).slice(2, 10)}`;
    this.boxes = new Map(); // key -> box
    this.chosen = "";
    this.drag = null; // { key, pointer, dx, dy, moved, x0, y0 }
    this.held = null; // let go, but not answered yet: { key, batch }
    this.wishes = [];
    this.sent = 0;
    this.waiting = 0; // number of the message that is on its way
    this.groundWords = "";
    this.frame(el);
    this.onShown = () => this.receive();
    model.on("change:_shown", this.onShown);
    this.receive();
  }

  frame(el) {
    const fixed = this.model.get("_fixed");
    this.root = make("div", "rp-root");
    this.root.setAttribute("role", "group");
    this.root.setAttribute("aria-label", fixed.label);
    this.svg = draw("svg", { class: "rp-svg", role: "group", "aria-label": fixed.label });
    this.layers = ["ground", "pads", "boxes", "ghost", "marks"].map((name) => draw("g", { class: `rp-layer-${name}` }));
    this.svg.append(...this.layers);
    this.ghost = draw("rect", { class: "rp-ghost", rx: 3, visibility: "hidden" });
    this.layers[3].append(this.ghost);
    this.tools = makeTools(this);
    this.empty = make("p", "rp-empty");
    this.report = make("p", "rp-report");
    this.report.setAttribute("role", "status");
    this.report.setAttribute("aria-live", "polite");
    this.problems = make("ul", "rp-problems");
    this.problems.setAttribute("aria-label", "What is wrong with the plan");
    this.root.append(this.tools.bar, this.svg, this.empty, this.report, this.problems, makeHelp(fixed.keys));
    el.append(this.root);
    this.root.addEventListener("keydown", (event) => {
      keepFromNotebook(event);
      onPlanKey(this, event);
    });
    this.svg.addEventListener("focusin", (event) => this.choose(this.keyOf(event.target)));
    this.svg.addEventListener("pointerdown", (event) => this.grasp(event));
    // Inside an SVG the style touch-action does not keep the page from scrolling under a finger; this does.
    const still = (event) => (this.keyOf(event.target) || this.drag) && event.cancelable && event.preventDefault();
    for (const name of ["touchstart", "touchmove"]) this.svg.addEventListener(name, still, { passive: false });
    this.svg.addEventListener("pointermove", (event) => this.pull(event));
    this.svg.addEventListener("pointerup", (event) => this.release(event));
    this.svg.addEventListener("pointercancel", () => this.letGo(true));
  }

  stop() {
    this.model.off("change:_shown", this.onShown);
    clearTimeout(this.stuck);
  }

  keyOf(target) {
    const node = target && target.closest ? target.closest("[data-key]") : null;
    return node ? node.dataset.key : "";
  }

  choose(key) {
    if (!key) return;
    this.chosen = key;
    for (const box of this.boxes.values()) box.node.classList.toggle("rp-here", box.key === key);
    showTools(this);
  }

  // --- the hand -------------------------------------------------------------------------------------------

  place(event) {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return [at.x, at.y];
  }

  grasp(event) {
    const key = this.keyOf(event.target);
    const box = this.boxes.get(key);
    if (!box || this.drag || event.button > 0) return;
    event.preventDefault(); // no text selection, no scrolling away under the finger
    box.node.focus({ preventScroll: true });
    const [x, y] = this.place(event);
    const { cx, cy, w, h, full_w, full_h } = box.data;
    // From the tray a box grows: the point under the hand stays under it.
    this.drag = { key, pointer: event.pointerId, dx: ((cx - x) * full_w) / w, dy: ((cy - y) * full_h) / h, x0: event.clientX, y0: event.clientY, moved: false };
    this.svg.setPointerCapture(event.pointerId);
  }

  pull(event) {
    const drag = this.drag;
    if (!drag || event.pointerId !== drag.pointer) return;
    if (!drag.moved && Math.hypot(event.clientX - drag.x0, event.clientY - drag.y0) < MEANT_PX) return;
    const box = this.boxes.get(drag.key);
    if (!drag.moved) {
      drag.moved = true;
      box.node.classList.add("rp-drag");
      growBox(box);
    }
    const [x, y] = this.place(event);
    drag.cx = x + drag.dx;
    drag.cy = y + drag.dy;
    moveBox(box, drag.cx, drag.cy);
    this.wish(this.moveTo(drag, false));
  }

  moveTo(drag, resting) {
    const { px_per_m, across_px, down_px } = this.scene;
    return { kind: "move", key: drag.key, aft_m: (drag.cx - across_px) / px_per_m, left_m: (drag.cy - down_px) / px_per_m, resting };
  }

  release(event) {
    if (this.drag && event.pointerId === this.drag.pointer) this.letGo(false);
  }

  letGo(back) {
    const drag = this.drag;
    if (!drag) return;
    this.drag = null;
    const box = this.boxes.get(drag.key);
    if (!drag.moved || !box) return;
    box.node.classList.remove("rp-drag");
    this.held = { key: drag.key, batch: 0 };
    this.wish(back ? { kind: "cancel", key: drag.key } : this.moveTo(drag, true));
  }

  // --- messages --------------------------------------------------------------------------------------------

  // Moves that pile up become the newest one and nudges add up; what came to rest stays.
  wish(wish) {
    const last = this.wishes[this.wishes.length - 1];
    const same = last && last.kind === wish.kind && last.key === wish.key;
    if (same && wish.kind === "move" && !last.resting) this.wishes.pop();
    if (same && wish.kind === "nudge" && last.fine === wish.fine) {
      last.along += wish.along;
      last.across += wish.across;
    } else this.wishes.push(wish);
    this.flush();
  }

  flush() {
    if (this.waiting || !this.wishes.length) return;
    this.sent += 1;
    this.waiting = this.sent;
    const hands = this.wishes;
    this.wishes = [];
    if (this.held && !this.held.batch && hands.some((hand) => hand.key === this.held.key)) this.held.batch = this.sent;
    this.model.send({ view: this.id, batch: this.sent, hands });
    clearTimeout(this.stuck);
    this.stuck = setTimeout(() => {
      this.waiting = 0;
      this.held = null;
      this.flush();
    }, STUCK_AFTER_MS);
  }

  receive() {
    const shown = this.model.get("_shown");
    const answered = shown.answered[this.id] || 0;
    if (this.held && this.held.batch && answered >= this.held.batch) this.held = null;
    this.scene = shown.scene;
    this.svg.setAttribute("viewBox", `0 0 ${this.scene.width} ${Math.ceil(this.scene.height)}`);
    this.ground();
    this.patch();
    setText(this.empty, this.scene.empty || "");
    setText(this.report, shown.report);
    const words = JSON.stringify(shown.problems);
    if (words !== this.problemWords) {
      this.problemWords = words;
      this.problems.replaceChildren(...shown.problems.map((text) => make("li", "", text)));
    }
    showTools(this);
    if (this.waiting && answered >= this.waiting) {
      this.waiting = 0;
      clearTimeout(this.stuck);
      this.flush();
    }
  }

  ground() {
    const { boxes, ...rest } = this.scene;
    const words = JSON.stringify(rest);
    if (words === this.groundWords) return;
    this.groundWords = words;
    this.layers[0].replaceChildren(...drawGround(this.scene));
    this.layers[4].replaceChildren(...drawMarks(this.scene));
  }

  patch() {
    const busy = this.drag && this.drag.moved ? this.drag.key : this.held ? this.held.key : "";
    const now = new Set(this.scene.boxes.map((data) => data.key));
    for (const [key, box] of [...this.boxes]) {
      if (now.has(key)) continue;
      box.node.remove();
      box.pad.remove();
      this.boxes.delete(key);
    }
    let ghost = null;
    this.scene.boxes.forEach((data, at) => {
      let box = this.boxes.get(data.key);
      if (!box) this.boxes.set(data.key, (box = makeBox(data.key)));
      const under = data.key === busy && this.drag ? [this.drag.cx, this.drag.cy] : null;
      const before = box.node.getAttribute("transform");
      patchBox(box, data);
      if (under) {
        growBox(box);
        moveBox(box, ...under);
        ghost = data;
      } else if (data.key === busy && before) {
        growBox(box);
        box.node.setAttribute("transform", before);
      }
      const [pads, boxes] = [this.layers[1], this.layers[2]];
      if (pads.children[at] !== box.pad) pads.insertBefore(box.pad, pads.children[at] || null);
      if (boxes.children[at] !== box.node) this.insert(boxes, box.node, at);
    });
    this.showGhost(ghost && ghost.laid ? ghost : null);
  }

  // Putting a node elsewhere takes the keyboard from it: give it back.
  insert(layer, node, at) {
    const had = node.contains(document.activeElement);
    layer.insertBefore(node, layer.children[at] || null);
    if (had) node.focus({ preventScroll: true });
  }

  showGhost(data) {
    this.ghost.setAttribute("visibility", data ? "visible" : "hidden");
    if (!data) return;
    const at = { x: data.cx - data.w / 2, y: data.cy - data.h / 2, width: data.w, height: data.h };
    for (const [name, value] of Object.entries(at)) this.ghost.setAttribute(name, value);
  }
}

export default {
  render({ model, el }) {
    const view = new PlanView(model, el);
    return () => view.stop();
  },
};
