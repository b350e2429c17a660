// One view of a chart. Python sends what to draw; the browser knows the width, the theme, and where somebody has zoomed to.
//
// A figure is Plotly's data and layout, and beside them:
//   dark: for each color of the figure, the one that takes its place in the dark theme;
//   fit.texts: numbers of the traces whose texts are cut to the width of the chart, with an ellipsis;
//   fit.column_px: room that is added to the range of the first x axis at its right end, for numbers in a column.

const PLOTLY = Symbol.for("loadout.plotly"); // one for all views of a browser tab
const COLOR = /(?<=[":])#[0-9a-f]{6}(?=["';])/gi; // a whole value, or one in a style
const PRINTING = ["beforeprint", "afterprint"]; // the page is laid out for paper after the first of them
const PAPER_PX = 640; // fits A4 and Letter with their margins; on paper the dark theme is light
const TOP_PX = 12;
const LINE = 1.3; // Plotly's line is this many letters high

// The script is asked for when the first chart is drawn. One that did not come is asked for again by the next drawing.
function loadPlotly(place) {
  window[PLOTLY] ??= new Promise((resolve, reject) => {
    const page = JSON.parse(document.getElementById("jupyter-config-data").textContent);
    const script = document.createElement("script");
    script.src = `${page.fullLabextensionsUrl}/${place}`;
    script.onload = () => resolve(window.Plotly);
    script.onerror = () => {
      script.remove();
      delete window[PLOTLY];
      reject(new Error("The workbook's server did not send what draws it."));
    };
    document.head.append(script);
  });
  return window[PLOTLY];
}

const ruler = document.createElement("canvas").getContext("2d");

function textWidth(text, font, bold) {
  ruler.font = `${bold ? "bold " : ""}${font.size}px ${font.family}`;
  return ruler.measureText(text).width;
}

// A text with its markup, cut where the room ends.
function cutText(html, room, font) {
  const held = document.createElement("template");
  held.innerHTML = html;
  const walk = document.createTreeWalker(held.content, NodeFilter.SHOW_TEXT);
  let left = room;
  let node;
  while ((node = walk.nextNode())) {
    const bold = node.parentElement?.localName === "b";
    const whole = node.data;
    if (left <= 0) node.data = "";
    for (let length = whole.length; length && textWidth(node.data, font, bold) > left; length--) {
      node.data = `${whole.slice(0, length - 1).trimEnd()}…`;
    }
    left = node.data === whole ? left - textWidth(whole, font, bold) : 0;
  }
  return held.innerHTML;
}

function wrapText(text, room, font) {
  const lines = [];
  for (const word of text.split(" ")) {
    const longer = `${lines.at(-1) ?? ""} ${word}`;
    if (lines.length && textWidth(longer, font, true) <= room) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

// The title and the sentence under it take the lines that they need, and the chart grows by them.
function fitTitle(layout, width) {
  const { text = "", font, subtitle } = layout.title ?? {};
  if (!text) return;
  const size = font?.size ?? 17;
  const family = layout.font.family;
  const room = width - 8;
  const under = subtitle?.text ? wrapText(subtitle.text, room, { size: 13, family }) : [];
  const lines = wrapText(text, room, { size, family });
  const small = under.map((line) => `<span style="font-size:13px;color:${subtitle.font.color}">${line}</span>`);
  const top = Math.ceil(TOP_PX + size * LINE * (lines.length + small.length));
  const rows = [...lines.map((line) => `<b>${line}</b>`), ...small];
  layout.title = {
    // Plotly puts the first of several lines on the pad itself, and a lone one below it.
    text: (rows.length > 1 ? rows : [...rows, " "]).join("<br>"),
    font: { ...font, size }, automargin: false,
    x: 0, xref: "container", xanchor: "left", y: 1, yref: "container", yanchor: "top", pad: { t: size + 2, l: 2 },
  };
  layout.height += top;
  layout.margin.t += top;
}

function fitWidth({ data, layout, fit }, width) {
  const { l, r } = layout.margin;
  for (const number of fit?.texts ?? []) {
    const trace = data[number];
    const font = { family: layout.font.family, size: trace.textfont?.size ?? layout.font.size };
    trace.text = trace.text.map((text) => cutText(text, width - l - 4, font));
  }
  const room = width - l - r;
  if (fit?.column_px) layout.xaxis.range[1] *= room / Math.max(room - fit.column_px, room / 8);
  layout.width = width;
}

class ChartView {
  constructor(model, el) {
    this.model = model;
    this.root = make("div", "ch-root");
    this.picture = make("div", "ch-picture");
    this.picture.setAttribute("role", "img");
    this.plot = make("div", "ch-plot");
    this.plot.setAttribute("aria-hidden", "true"); // the picture says itself, as one
    this.picture.append(this.plot);
    this.said = make("p", "ch-said");
    this.said.setAttribute("role", "status");
    this.tools = make("div", "ch-tools");
    this.all = this.button("Show all of it", () => this.showAll());
    this.all.hidden = true;
    this.button("Save as picture", () => this.save());
    this.root.append(this.picture, this.said, this.tools);
    el.append(this.root);
    this.ask = () => this.soon();
    this.watch = new ResizeObserver(this.ask);
    this.watch.observe(this.root);
    this.theme = new MutationObserver(this.ask);
    this.theme.observe(document.body, { attributeFilter: ["data-jp-theme-light"] });
    this.print = ({ type }) => {
      this.onPaper = type === "beforeprint";
      if (this.plotly) this.draw();
    };
    for (const moment of PRINTING) window.addEventListener(moment, this.print);
    model.on("change:_shown change:_moved", this.ask);
    this.ask();
  }

  stop() {
    this.stopped = true;
    this.watch.disconnect();
    this.theme.disconnect();
    for (const moment of PRINTING) window.removeEventListener(moment, this.print);
    this.model.off("change:_shown change:_moved", this.ask);
    this.plotly?.purge(this.plot);
  }

  button(words, act) {
    const made = make("button", "ch-button", words);
    made.type = "button";
    made.addEventListener("click", act);
    this.tools.append(made);
    return made;
  }

  // What came while a drawing was under way is drawn after it, once, and as it is then: never an older state last.
  soon() {
    this.wanted = true;
    if (!this.busy) {
      this.busy = true;
      requestAnimationFrame(() => this.drawWanted().finally(() => (this.busy = false)));
    }
  }

  async drawWanted() {
    try {
      while (this.wanted && !this.stopped) {
        this.wanted = false;
        if (!this.root.clientWidth) continue; // in a part that is closed: its opening asks again
        this.plotly ??= await loadPlotly(this.model.get("_place"));
        await this.draw();
      }
      this.said.textContent = "";
    } catch (error) {
      setText(this.said, `This chart could not be drawn; its numbers stand beside it in words. ${error.message}`);
    }
  }

  async draw() {
    const shown = this.model.get("_shown");
    const moved = this.model.get("_moved");
    const wide = Math.floor(this.root.clientWidth);
    const width = this.onPaper ? Math.min(wide, PAPER_PX) : wide;
    const dark = document.body.dataset.jpThemeLight === "false" && !this.onPaper;
    const same = this.drawn?.shown === shown && this.drawn.moved === moved && this.drawn.width === width && this.drawn.dark === dark;
    if (!width || same || this.stopped) return;
    const colors = dark ? (shown.figure.dark ?? {}) : {};
    const text = JSON.stringify(shown.figure).replace(COLOR, (color) => colors[color.toLowerCase()] ?? color);
    const figure = JSON.parse(text);
    if ("trace" in moved) Object.assign(figure.data[moved.trace], { x: moved.x, y: moved.y });
    const layout = figure.layout;
    fitTitle(layout, width);
    fitWidth(figure, width);
    layout.uirevision ??= "kept"; // where somebody has zoomed to stays
    if (matchMedia("(pointer: coarse)").matches) layout.dragmode = false; // a finger scrolls the page
    this.plot.style.minHeight = `${layout.height}px`;
    this.picture.setAttribute("aria-label", shown.label);
    this.drawn = { shown, moved, width, dark };
    this.whole = Object.entries(layout).filter(([key, axis]) => /^[xy]axis\d*$/.test(key) && !axis.fixedrange)
      .map(([key, axis]) => (axis.range ? [`${key}.range`, [...axis.range]] : [`${key}.autorange`, true]));
    await this.plotly.react(this.plot, figure.data, layout, { displayModeBar: false, responsive: false });
    if (!this.listening) {
      this.listening = true;
      this.plot.on("plotly_relayout", (change) => this.zoomed(change));
    }
  }

  zoomed(change) {
    this.all.hidden = !Object.keys(change).some((key) => key.includes(".range["));
  }

  async showAll() {
    await this.plotly.relayout(this.plot, Object.fromEntries(this.whole));
    this.root.querySelector(".ch-button:not([hidden])").focus();
  }

  save() {
    const { width, height } = this.plot.layout;
    const filename = this.model.get("_shown").label.split(/[:?]/)[0].replace(/[^\p{L}\p{N}]+/gu, "-").toLowerCase();
    this.plotly.downloadImage(this.plot, { format: "png", scale: 2, width, height, filename });
  }
}

export default {
  render({ model, el }) {
    const view = new ChartView(model, el);
    return () => view.stop();
  },
};
