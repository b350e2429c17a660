// The keyboard on the plan, and the buttons that do the same for a finger.

const ARROWS = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowDown: [0, 1], ArrowUp: [0, -1] };
const SINGLE = { r: "turn", p: "pin", Delete: "off", Backspace: "off", Enter: "put", " ": "put" };

function onPlanKey(view, event) {
  if (event.isComposing || event.altKey) return;
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z" && !event.shiftKey) {
    event.preventDefault();
    view.wish({ kind: "undo" });
    return;
  }
  if (event.ctrlKey || event.metaKey) return;
  if (event.key === "Escape" && view.drag) {
    event.preventDefault();
    view.letGo(true);
    return;
  }
  const key = view.keyOf(event.target);
  if (!key || view.drag) return;
  const arrow = ARROWS[event.key];
  if (arrow) {
    event.preventDefault();
    view.wish({ kind: "nudge", key, along: arrow[0], across: arrow[1], fine: event.shiftKey });
    return;
  }
  const kind = SINGLE[event.key.length === 1 ? event.key.toLowerCase() : event.key];
  if (!kind) return;
  event.preventDefault();
  act(view, kind, key);
}

function act(view, kind, key) {
  const box = view.boxes.get(key);
  if (!box) return;
  if ((kind === "turn" && !box.data.can_turn) || (kind === "pin" && !box.data.can_pin)) return;
  if (kind === "put" && box.data.laid) return;
  view.wish({ kind, key });
}

function makeTools(view) {
  const bar = make("div", "rp-tools");
  const name = make("span", "rp-chosen");
  bar.append(name);
  const buttons = {};
  const add = (kind, text, title) => {
    const button = make("button", "rp-button", text);
    button.type = "button";
    button.title = title;
    button.addEventListener("click", () => {
      if (button.getAttribute("aria-disabled") === "true") return;
      if (kind === "undo") view.wish({ kind });
      else act(view, kind, view.chosen);
    });
    buttons[kind] = button;
    bar.append(button);
  };
  add("turn", "Turn", "A quarter turn (R)");
  add("pin", "Pin", "Nothing but your hand moves it then (P)");
  add("put", "Lay out", "Put it where there is room (Enter)");
  add("off", "Take off the plan", "It stays aboard and counts at the middle of its zone (Delete)");
  add("undo", "Undo", "Take back the newest edit (Ctrl+Z)");
  return { bar, name, buttons };
}

function makeHelp(text) {
  const help = make("details", "rp-help");
  help.append(make("summary", "", "Keys, and what the signs mean"), make("p", "", text));
  return help;
}

function showTools(view) {
  const box = view.boxes.get(view.chosen);
  const { name, buttons } = view.tools;
  setText(name, box ? `Box: ${box.data.name}` : "Pick a box to");
  const can = {
    turn: box && box.data.can_turn,
    pin: box && box.data.laid && box.data.can_pin,
    put: box && !box.data.laid,
    off: box && box.data.laid,
    undo: true,
  };
  for (const [kind, button] of Object.entries(buttons)) button.setAttribute("aria-disabled", String(!can[kind]));
  setText(buttons.pin, box && box.data.pinned ? "Unpin" : "Pin");
}
