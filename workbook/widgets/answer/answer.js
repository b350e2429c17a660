// The answer of a page. What is painted here is one value of Python's, in one go.

const QUIET_MS = 1000; // it is read out when nothing has changed for so long
const PAGE = /\b(page (\d\d))\b/;
const TOGETHER = /(?<=\d) (?=(?:lb|lbf|kg|gal|L|in|mm|psi|kPa|people|person)\b)|(?<=^[▲△?!]) /g;

// A number stays beside its unit, and "page 03" leads there.
function setWords(node, text) {
  if (node.said === text) return;
  node.said = text;
  const parts = text.replace(TOGETHER, "\u00a0").split(PAGE);
  const made = [];
  for (let at = 0; at < parts.length; at += 3) {
    made.push(parts[at]);
    if (at + 1 < parts.length) {
      const link = make("a", "", parts[at + 1]);
      link.href = "#";
      link.dataset.loadoutPage = parts[at + 2];
      made.push(link);
    }
  }
  node.replaceChildren(...made);
}

// As many children as there are things to show; those that stay keep their place, their focus, and what is selected.
function setChildren(node, things, create, fill) {
  while (node.children.length > things.length) node.lastElementChild.remove();
  while (node.children.length < things.length) node.append(create());
  things.forEach((thing, at) => fill(node.children[at], thing));
}

function setSentence(node, { words, bad }) {
  setWords(node, `${bad ? "▲ " : ""}${words}`);
  node.classList.toggle("an-bad", bad);
}

class AnswerView {
  constructor(model, el) {
    this.model = model;
    this.root = make("div", "an-root");
    this.lead = make("div", "an-lead");
    this.verdict = make("p", "an-verdict");
    this.tight = make("table", "an-tight");
    this.tight.setAttribute("aria-label", "Tightest ratings");
    this.found = make("ul", "an-found");
    this.more = make("details", "an-more");
    this.count = make("summary");
    this.others = make("ul", "an-found");
    this.more.append(this.count, this.others);
    this.said = make("div", "an-said");
    this.said.setAttribute("role", "status");
    this.said.setAttribute("aria-live", "polite");
    this.root.append(this.lead, this.verdict, this.tight, this.found, this.more, this.said);
    el.append(this.root);
    this.strip = new AnswerStrip(this.root, this.verdict);
    this.take = () => this.paint();
    model.on("change:shown", this.take);
    this.paint();
  }

  stop() {
    clearTimeout(this.quiet);
    this.strip.stop();
    this.model.off("change:shown", this.take);
  }

  paint() {
    const { lead, verdict, tight, found, in_view: inView, strip } = this.model.get("shown");
    // What a page says of its own comes first, and its picture is under it: the ratings are folded there.
    const own = lead.length > 0;
    if (own !== this.own) (own ? this.count : this.verdict).after(this.tight);
    this.own = own;
    setChildren(this.lead, lead, () => make("p"), setSentence);
    // Sentences of one paragraph: the spaces between them stand in the text too.
    setChildren(this.verdict, verdict, () => make("span"), (node, { words, bad }) => setSentence(node, { words: `${words} `, bad }));
    setChildren(this.tight, tight, () => this.makeRow(), (row, rating) => this.fillRow(row, rating));
    const item = () => make("li");
    const fill = (node, { words, bad }) => {
      setWords(node, words);
      node.classList.toggle("an-bad-item", bad);
    };
    setChildren(this.found, found.slice(0, inView), item, fill);
    const rest = found.slice(inView);
    setChildren(this.others, rest, item, fill);
    setText(this.count, own ? `What is found: ${rest.length}` : `and ${rest.length} more`);
    this.more.hidden = !rest.length;
    this.strip.paint(strip);
    const numbers = tight.map(({ name, percent, amount, unit, word }) => `${name} ${percent}, ${amount} ${unit} ${word}`);
    const said = [...lead.map(({ words }) => words), `${strip.words}. ${numbers.join("; ")}.`].join(" ");
    clearTimeout(this.quiet);
    this.quiet = setTimeout(() => setText(this.said, said), QUIET_MS);
  }

  makeRow() {
    const row = make("tr");
    const name = make("th");
    name.scope = "row";
    row.append(name, make("td", "an-percent"), make("td", "an-amount"), make("td", "an-unit"), make("td", "an-word"));
    return row;
  }

  fillRow(row, { name, percent, amount, unit, word, bad }) {
    [name, `${bad ? "▲ " : ""}${percent}`, amount, unit, word].forEach((text, at) => setText(row.children[at], text));
    row.classList.toggle("an-bad", bad);
  }
}

export default {
  render({ model, el }) {
    const view = new AnswerView(model, el);
    return () => view.stop();
  },
};
