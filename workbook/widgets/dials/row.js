// One row: a name, a rail, a number to type in, and its unit. The rail counts whole steps, so that both ends are on it.

class DialRow {
  constructor(key, id, tell) {
    this.key = key;
    this.tell = tell;
    this.sent = 0; // number of the last message about this row
    this.held = false; // a pointer is on the rail
    this.node = make("div", "di-row");
    this.name = make("span", "di-name");
    this.rail = make("input", "di-rail");
    this.rail.type = "range";
    this.number = make("input", "di-number");
    this.number.type = "text";
    this.number.inputMode = "decimal";
    this.number.autocomplete = "off";
    this.unit = make("span", "di-unit");
    this.why = make("p", "di-why");
    this.why.id = `${id}-why`;
    this.why.hidden = true;
    this.node.append(this.name, this.rail, this.number, this.unit, this.why);
    this.rail.addEventListener("input", () => this.moved());
    this.rail.addEventListener("pointerdown", () => (this.held = true));
    this.number.addEventListener("focus", () => this.number.select());
    this.number.addEventListener("change", () => this.typed());
    this.number.addEventListener("keydown", (event) => {
      if (event.key === "Escape") this.forget();
    });
  }

  // What Python says of it.
  take(data, refused) {
    this.data = data;
    this.value = data.value;
    this.refused = refused;
    this.paint();
  }

  get steps() {
    return Math.max(Math.ceil((this.data.high - this.data.low) / this.data.step - 1e-9), 1);
  }

  stepOf(value) {
    return Math.min(Math.max(Math.round((value - this.data.low) / this.data.step), 0), this.steps);
  }

  // Back where it was is exactly there, also when that lies between two steps; the last step is the end itself.
  valueAt(step) {
    const { low, high, step: size, value } = this.data;
    if (step === this.stepOf(value)) return value;
    return step >= this.steps ? high : Math.min(low + step * size, high);
  }

  moved() {
    this.value = this.valueAt(this.rail.valueAsNumber);
    this.refused = null;
    this.paint();
    this.tell(this, { value: this.value });
  }

  typed() {
    const text = this.number.value.trim();
    this.painted = this.number.value;
    if (text === this.text) this.paint();
    else this.tell(this, { text });
  }

  // Escape: the last good number.
  forget() {
    this.refused = null;
    this.painted = this.number.value;
    this.paint();
    this.number.select();
  }

  paint() {
    const [text, unit] = numberAndUnit(this.value, this.data);
    this.text = text;
    setText(this.name, this.data.label);
    setText(this.unit, unit);
    this.rail.min = 0;
    this.rail.max = this.steps;
    this.rail.step = 1;
    this.rail.value = this.stepOf(this.value);
    this.rail.style.setProperty("--di-part", this.rail.value / this.steps);
    this.rail.setAttribute("aria-label", this.data.label);
    this.rail.setAttribute("aria-valuetext", `${text} ${unit}`);
    this.number.setAttribute("aria-label", `${this.data.label}, in ${this.data.unit}`);
    const typing = document.activeElement === this.number && this.number.value !== this.painted;
    if (!typing) this.number.value = this.painted = this.refused?.text || text;
    if (this.refused) {
      this.number.setAttribute("aria-invalid", "true");
      this.number.setAttribute("aria-describedby", this.why.id);
    } else {
      this.number.removeAttribute("aria-invalid");
      this.number.removeAttribute("aria-describedby");
    }
    setText(this.why, this.refused ? `! ${this.refused.why}` : "");
    this.why.hidden = !this.refused;
  }
}
