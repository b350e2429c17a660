// The answer in two lines, on top of the page while the answer itself is out of view.

class AnswerStrip {
  constructor(root, verdict) {
    this.root = root;
    this.node = make("div", "an-strip");
    this.node.setAttribute("aria-hidden", "true"); // it says again what stands on the page
    this.node.hidden = true;
    this.words = make("div", "an-strip-words");
    this.tight = make("div", "an-strip-tight");
    const box = make("div", "an-strip-box");
    box.append(this.words, this.tight);
    this.node.append(box);
    this.watch = new IntersectionObserver((entries) => this.seen(entries.at(-1).isIntersecting));
    this.watch.observe(verdict);
  }

  stop() {
    this.watch.disconnect();
    this.node.remove();
    this.page?.classList.remove("an-below-strip");
  }

  paint({ words, tight, bad }) {
    setText(this.words, `${bad ? "▲ " : ""}${words}`);
    setText(this.tight, tight);
    this.words.classList.toggle("an-bad", bad);
  }

  seen(inView) {
    if (!this.page) {
      this.page = this.root.closest(".jp-WindowedPanel-outer");
      this.page?.prepend(this.node);
    }
    this.node.hidden = inView;
    this.page?.classList.toggle("an-below-strip", !inView);
  }
}
