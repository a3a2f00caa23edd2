// Mouse, touch and buttons of a timing chart, and the start of all charts of the page.
// Rule: a plain turn of the wheel and a plain stroke up or down scroll the page, never the chart.

TimingChart.prototype.listen = function () {
  const { plot } = this, down = new Map();
  let moved = 0, pinch = 0;
  const timeAt = (event) => {
    const x = event.clientX - plot.getBoundingClientRect().left, { left, width } = this.box;
    return this.first + Math.min(Math.max(0, (x - left) / width), 1) * (this.last - this.first);
  };
  const gap = () => {
    const [one, other] = [...down.values()];
    return Math.abs(one.clientX - other.clientX);
  };
  plot.addEventListener("wheel", (event) => {
    const sideways = event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY);
    if (!event.ctrlKey && !sideways) return;
    event.preventDefault();
    if (event.ctrlKey) this.zoom(event.deltaY > 0 ? 1.25 : 0.8, timeAt(event));
    else this.pan((event.deltaX || event.deltaY) / 800);
  }, { passive: false });
  plot.addEventListener("pointerdown", (event) => {
    down.set(event.pointerId, event);
    moved = 0;
    pinch = down.size === 2 ? gap() : 0;
    plot.setPointerCapture(event.pointerId);
  });
  plot.addEventListener("pointermove", (event) => {
    const before = down.get(event.pointerId);
    if (!before) {
      this.hover = timeAt(event);
      this.point();
      return;
    }
    const by = event.clientX - before.clientX;
    down.set(event.pointerId, event);
    moved += Math.abs(by) + Math.abs(event.clientY - before.clientY);
    if (down.size === 2) {
      const wide = gap();
      if (pinch && wide) this.zoom(pinch / wide, timeAt(event));
      pinch = wide;
    } else if (moved > 4) {
      this.pan(-by / this.box.width);
    }
  });
  plot.addEventListener("pointerup", (event) => {
    const single = down.size === 1;
    down.delete(event.pointerId);
    if (!single || moved > 4 || event.clientX - plot.getBoundingClientRect().left < this.labelled) return;
    this.place(event.shiftKey || this.second ? "B" : "A", timeAt(event));
  });
  plot.addEventListener("pointercancel", (event) => down.delete(event.pointerId));
  plot.addEventListener("pointerleave", () => { this.hover = null; this.point(); });
  plot.addEventListener("keydown", (event) => this.key(event));
  this.root.querySelector(".changes").addEventListener("toggle", () => this.list());
  const acts = {
    closer: () => this.zoom(0.5), wider: () => this.zoom(2), all: () => this.show(0, this.end),
    earlier: () => this.pan(-0.25), later: () => this.pan(0.25), clear: () => this.clear(),
    next: () => this.hop(1), before: () => this.hop(-1),
    second: (button) => { this.second = !this.second; button.setAttribute("aria-pressed", String(this.second)); this.active = this.second ? "B" : "A"; },
  };
  for (const button of this.root.querySelectorAll("button[data-act]")) {
    button.addEventListener("click", () => acts[button.dataset.act](button));
  }
  new ResizeObserver(() => this.draw()).observe(plot);
};

if (typeof document !== "undefined") {
  for (const root of document.querySelectorAll(".timing")) {
    root.chart = new TimingChart(root);
    root.classList.add("live");
  }
}
