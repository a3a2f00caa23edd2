// One timing chart of the page: window, rows, cursors; mouse, touch and keyboard.
// Drawing is draw.js and scale.js. Rule: whatever the mouse can do the keyboard can, and the readout says it in words.

const HEIGHTS = { level: 24, word: 28, number: 52, line: 60 };
const FINEST = 2000;

class TimingChart {
  constructor(root) {
    const data = JSON.parse(root.querySelector("script[type='application/json']").textContent);
    this.root = root;
    this.plot = root.querySelector(".plot");
    this.readout = root.querySelector(".readout");
    this.end = data.end;
    this.lanes = data.lanes;
    this.groups = data.groups.map(({ name, shown, rows }) => ({ name, shown, rows: rows.map((row) => ({ row })) }));
    this.first = 0;
    this.last = data.end;
    this.cursors = { A: null, B: null };
    this.active = "A";
    this.hover = null;
    this.chosen = 0;
    this.offers();
    this.listen();
    this.draw();
  }

  // Rows that are drawn; a course is unpacked when it is first wanted.
  rows() {
    const found = [];
    for (const group of this.groups) {
      const rows = group.rows.filter((r) => (r.hidden === undefined ? group.shown : !r.hidden));
      for (const r of rows) r.course ||= courseOf(r.row);
      if (rows.length) found.push({ name: group.name, rows });
    }
    return found;
  }

  offers() {
    const list = this.root.querySelector(".offers");
    for (const group of this.groups) {
      const set = document.createElement("fieldset"), legend = document.createElement("legend");
      legend.textContent = group.name || "rows";
      set.append(legend);
      for (const r of group.rows) {
        const label = document.createElement("label"), box = document.createElement("input");
        box.type = "checkbox";
        box.checked = group.shown;
        box.addEventListener("change", () => { r.hidden = !box.checked; this.draw(); });
        label.append(box, " " + r.row.name);
        set.append(label);
      }
      list.append(set);
    }
  }

  draw() {
    cancelAnimationFrame(this.frame);
    this.frame = requestAnimationFrame(() => this.drawNow());
  }

  drawNow() {
    const whole = Math.max(300, Math.floor(this.plot.clientWidth)), groups = this.rows();
    const names = groups.flatMap((g) => g.rows.map((r) => r.row.name.length));
    const label = Math.min(whole < 560 ? 118 : 230, Math.max(60, ...names) * CHARACTER + 48);
    const values = this.cursors.A === null && this.cursors.B === null ? 0 : whole < 560 ? 58 : 84;
    const box = { first: this.first, last: this.last, left: Math.floor(label) + values, top: 0, height: 0 };
    box.width = whole - box.left - 12;
    this.box = box;
    this.labelled = Math.floor(label);
    let y = 40, inner = "";
    for (const lane of this.lanes) {
      inner += textOf(lane.name, 8, y + 16, "small") + drawLane(lane, { ...box, top: y, height: 24 });
      y += 24;
    }
    this.placed = [];
    for (const group of groups) {
      if (group.name) inner += textOf(group.name, 8, y + 15, "head");
      y += group.name ? 22 : 0;
      for (const r of group.rows) {
        const height = HEIGHTS[r.course.kind];
        this.placed.push({ course: r.course, top: y, height });
        inner += this.drawnRow(r.course, { ...box, top: y, height });
        y += height;
      }
    }
    this.bottom = y;
    const back = drawScale(box, y) + this.through(box, y);
    this.plot.querySelector("svg").outerHTML =
      `<svg width="${whole}" height="${y + 10}" viewBox="0 0 ${whole} ${y + 10}" aria-hidden="true">` +
      `<rect width="${whole}" height="${y + 10}" class="paper"/>${back}${inner}<g class="pointers"></g></svg>`;
    this.point();
    this.list();
  }

  drawnRow(course, box) {
    const middle = box.top + box.height / 2 + 4, chosen = this.placed.length - 1 === this.chosen;
    const name = (chosen ? "▸" : "") + cut(course.name, this.labelled - 22);
    let out = textOf(name, 8, middle, chosen ? "chosen" : "", course.name);
    if (course.kind === "line" || course.kind === "number") {
      const [least, most] = rangeOf(course);
      for (const [value, y] of [[most, box.top + 13], [least, box.top + box.height - 5]]) {
        const words = String(+value.toPrecision(4));
        out += textOf(words, this.labelled - 6 - words.length * 5.6, y, "small");
      }
    }
    return out + pathOf(`M8,${num(box.top + box.height)}H${box.left + box.width}`, "row") + drawRow(course, box);
  }

  through(box, bottom) {
    const broken = this.lanes.filter((lane) => lane.name === "broken rules").flatMap((lane) => lane.marks);
    const seen = broken.filter(([t]) => t >= box.first && t <= box.last);
    return pathOf(seen.map(([t]) => `M${num(xOf(box, t))},28V${num(bottom)}`).join(""), "breach");
  }

  // Cursors, the instant under the pointer, and what they say.
  point() {
    const { box } = this, group = this.plot.querySelector(".pointers");
    let out = "";
    for (const [name, t] of [["A", this.cursors.A], ["B", this.cursors.B], ["", this.hover]]) {
      if (t === null || t < box.first || t > box.last) continue;
      const x = xOf(box, t);
      out += pathOf(`M${num(x)},28V${num(this.bottom)}`, name ? `cursor ${name}` : "hover");
      if (name) out += `<rect x="${num(x - 8)}" y="24" width="16" height="16" class="flag"/>` + textOf(name, x - 4, 37, "flagged");
    }
    const name = this.cursors[this.active] !== null ? this.active : this.cursors.A !== null ? "A" : "B";
    const at = this.cursors[name];
    if (at !== null) {
      out += textOf(`at ${name}`, this.labelled + 4, 22, "value");
      for (const { course, top, height } of this.placed) {
        const words = cut(this.told(course, at), box.left - this.labelled - 8);
        out += textOf(words, this.labelled + 4, top + height / 2 + 4, "value");
      }
    }
    group.innerHTML = out;
    this.say();
  }

  told(course, t) {
    const value = valueAt(course, t);
    if (course.kind === "word") return course.words[value];
    return course.kind === "level" ? String(value) : String(+value.toPrecision(5));
  }

  say() {
    const { A, B } = this.cursors, fine = (this.last - this.first) / this.box.width / 10, parts = [];
    if (this.hover !== null) parts.push(`pointer ${timeText(this.hover, fine)}`);
    if (A !== null) parts.push(`A ${timeText(A, fine)}`);
    if (B !== null) parts.push(`B ${timeText(B, fine)}`);
    if (A !== null && B !== null) parts.push(`B − A = ${timeText(B - A, fine)}`);
    const row = this.placed[this.chosen], at = this.cursors[this.active] ?? this.hover;
    if (row && at !== null) parts.push(`${row.course.name} = ${this.told(row.course, at)}`);
    this.readout.textContent = parts.join("   ") || `${timeText(this.first, fine)} to ${timeText(this.last, fine)}`;
  }

  // The changes within the window as a table: what the picture says to those who do not see it.
  list() {
    const body = this.root.querySelector(".changes tbody");
    if (!body.closest("details").open) return;
    const found = [];
    for (const { course } of this.placed) {
      if (course.kind === "line") continue;
      let i = Math.max(1, place(course.times, this.first));
      for (let n = 0; i < course.times.length && course.times[i] <= this.last && n < 300; i++, n++) found.push([course.times[i], course, i]);
    }
    found.sort((a, b) => a[0] - b[0]);
    body.innerHTML = found.slice(0, 300).map(([t, course, i]) => {
      const value = course.kind === "word" ? course.words[course.values[i]] : course.values[i];
      return `<tr><td>${timeText(t, 1e6)}</td><td>${escaped(course.name)}</td><td>${escaped(value)}</td></tr>`;
    }).join("");
    const more = found.length > 300 ? `the first 300 of more than ${found.length - 1} changes` : `${found.length} changes`;
    this.root.querySelector(".changes caption").textContent =
      `${more} from ${timeText(this.first, 1e6)} to ${timeText(this.last, 1e6)}`;
  }

  show(first, last) {
    const span = Math.min(this.end, Math.max(FINEST, last - first));
    this.first = Math.round(Math.min(Math.max(0, first), this.end - span));
    this.last = Math.round(this.first + span);
    this.draw();
  }

  zoom(factor, about = (this.first + this.last) / 2) {
    this.show(about - (about - this.first) * factor, about + (this.last - about) * factor);
  }

  pan(share) {
    const by = (this.last - this.first) * share;
    this.show(this.first + by, this.last + by);
  }

  place(name, t) {
    this.cursors[name] = t === null ? null : Math.round(Math.min(Math.max(0, t), this.end));
    this.active = name;
    if (t !== null && (t < this.first || t > this.last)) this.show(t - (this.last - this.first) / 2, t + (this.last - this.first) / 2);
    this.draw();
  }

  move(by) {
    const t = this.cursors[this.active] ?? (this.first + this.last) / 2;
    this.place(this.active, t + by);
  }

  // The active cursor to the next (1) or previous (-1) change of the chosen row.
  hop(way) {
    const course = this.placed[this.chosen]?.course;
    if (!course) return;
    const t = this.cursors[this.active] ?? this.first;
    const i = way > 0 ? place(course.times, t + 1) : place(course.times, t) - 1;
    if (i >= 0 && i < course.times.length) this.place(this.active, course.times[i]);
  }

  choose(way) {
    this.chosen = Math.min(Math.max(0, this.chosen + way), this.placed.length - 1);
    this.draw();
  }

  clear() {
    this.cursors = { A: null, B: null };
    this.active = "A";
    this.draw();
  }

  key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const pixel = (this.last - this.first) / this.box.width;
    const centre = this.hover ?? (this.first + this.last) / 2;
    const keys = {
      "+": () => this.zoom(0.5, this.cursors[this.active] ?? centre),
      "-": () => this.zoom(2, this.cursors[this.active] ?? centre),
      0: () => this.show(0, this.end),
      ArrowLeft: () => (event.shiftKey ? this.move(-pixel) : this.pan(-0.1)),
      ArrowRight: () => (event.shiftKey ? this.move(pixel) : this.pan(0.1)),
      ArrowUp: () => this.choose(-1),
      ArrowDown: () => this.choose(1),
      PageUp: () => this.pan(-1),
      PageDown: () => this.pan(1),
      Home: () => this.show(0, this.last - this.first),
      End: () => this.show(this.end - (this.last - this.first), this.end),
      a: () => this.place("A", this.hover ?? this.cursors.A ?? centre),
      b: () => this.place("B", this.hover ?? this.cursors.B ?? centre),
      n: () => this.hop(1),
      p: () => this.hop(-1),
      Escape: () => this.clear(),
    };
    keys["="] = keys["+"];
    if (!keys[event.key]) return;
    event.preventDefault();
    keys[event.key]();
  }
}
