// Rows of the timing chart as SVG text: the same drawing as report/draw.py, held against it by a test.
// Rule: whatever changes within a column leaves a stroke there.

const CHARACTER = 6.6;

function num(value) {
  const tenths = Math.floor(value * 10 + 0.5);
  return tenths % 10 === 0 ? String(tenths / 10) : (tenths / 10).toFixed(1);
}

function escaped(words) {
  return String(words).replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;").replace(/"/g, "&quot;");
}

function cut(words, room) {
  const fits = Math.floor(room / CHARACTER);
  if (words.length <= fits) return words;
  return fits >= 3 ? words.slice(0, fits - 1) + "…" : "";
}

function xOf(box, t) {
  return box.left + (t - box.first) / (box.last - box.first) * box.width;
}

function pathOf(d, kind) {
  return `<path d="${d}" class="${kind}"/>`;
}

function textOf(words, x, y, kind = "", title = "") {
  const told = title ? `<title>${escaped(title)}</title>` : "";
  return `<text x="${num(x)}" y="${num(y)}"${kind ? ` class="${kind}"` : ""}>${told}${escaped(words)}</text>`;
}

function drawRow(course, box) {
  if (course.kind === "level") return drawLevel(course, box);
  return course.kind === "word" ? drawWord(course, box) : drawCurve(course, box);
}

function drawLevel(course, box) {
  const { counts, after } = columns(course.times, box.first, box.last, box.width);
  const high = box.top + 4, low = box.top + box.height - 4, y = [low, high];
  let now = course.values[after[0] - counts[0]], path = `V${num(y[now])}`, busy = "";
  for (let column = 0; column < box.width; column++) {
    const count = counts[column];
    if (!count) continue;
    const then = course.values[after[column]];
    if (count === 1) path += `H${num(xOf(box, course.times[after[column]]))}V${num(y[then])}`;
    else path += `H${num(box.left + column + 0.5)}V${num(y[1 - now])}V${num(y[now])}V${num(y[then])}`;
    if (count > 2) busy += `M${box.left + column},${num(high)}h1V${num(low)}h-1z`;
    now = then;
  }
  path += `H${box.left + box.width}`;
  const under = pathOf(`M${box.left},${num(low)}${path}V${num(low)}z`, "under");
  return under + pathOf(`M${box.left},${path.slice(1)}`, "signal") + (busy ? pathOf(busy, "busy") : "");
}

// Stretches of one word: { start, end, entry }; entry -1 where words change too fast to draw.
function stretches(course, box) {
  const { counts, after } = columns(course.times, box.first, box.last, box.width), found = [];
  let begun = box.left, entry = after[0] - counts[0];
  for (let column = 0; column < box.width; column++) {
    if (!counts[column]) continue;
    const one = counts[column] === 1, at = one ? xOf(box, course.times[after[column]]) : 0;
    const ends = one ? at : box.left + column, begins = one ? at : box.left + column + 1;
    if (ends > begun) found.push({ start: begun, end: ends, entry });
    if (begins > ends) {
      const before = found[found.length - 1];
      if (before && before.entry < 0 && before.end === ends) before.end = begins;
      else found.push({ start: ends, end: begins, entry: -1 });
    }
    begun = begins;
    entry = after[column];
  }
  if (box.left + box.width > begun) found.push({ start: begun, end: box.left + box.width, entry });
  return found;
}

function drawWord(course, box) {
  const top = box.top + 3, tall = box.height - 6;
  let out = "", begins = "";
  for (const { start, end, entry } of stretches(course, box)) {
    const wide = end - start, kind = entry < 0 ? "busy" : entry % 2 ? "band odd" : "band";
    const size = `x="${num(start)}" y="${num(top)}" width="${num(Math.max(wide, 0.5))}" height="${num(tall)}"`;
    out += `<rect ${size} class="${kind}"/>`;
    const told = entry < 0 ? "" : cut(course.words[course.values[entry]], wide - 8);
    if (told) out += textOf(told, start + 4, box.top + box.height / 2 + 4);
    begins += `M${num(start)},${num(top)}v${num(tall)}`;
  }
  return out + pathOf(begins, "signal");
}

function rangeOf(course) {
  if (!course.range) {
    let least = Infinity, most = -Infinity;
    for (const value of course.values) {
      if (value < least) least = value;
      if (value > most) most = value;
    }
    course.range = [least, most];
  }
  return course.range;
}

function drawCurve(course, box) {
  const [least, most] = rangeOf(course), { times } = course;
  const low = box.top + box.height - 6, high = box.top + 6;
  const y = (v) => (most > least ? low + (v - least) / (most - least) * (high - low) : (low + high) / 2);
  const { counts, after } = columns(times, box.first, box.last, box.width);
  const from = Math.max(0, after[0] - counts[0]), to = Math.min(after[box.width - 1] + 2, times.length);
  if (to - from <= 2 * box.width) return pathOf(exactPath(course, box, from, to, y), "signal");
  const found = spans(course, box.first, box.last, box.width);
  let path = "";
  for (let column = 0; column < box.width; column++) {
    const x = num(box.left + column + 0.5);
    path += `${path ? "L" : "M"}${x},${num(y(found.low[column]))}V${num(y(found.high[column]))}`;
  }
  return pathOf(path, "signal");
}

function exactPath(course, box, from, to, y) {
  let points = [];
  for (let i = from; i < to; i++) points.push([course.times[i], course.values[i]]);
  if (course.kind === "line") {
    points = clipped(points, box);
  } else {
    const stepped = [[box.first, points[0][1]]];
    for (let i = 1; i < points.length; i++) {
      if (points[i][0] <= box.last) stepped.push([points[i][0], points[i - 1][1]], points[i]);
    }
    stepped.push([box.last, stepped[stepped.length - 1][1]]);
    points = stepped;
  }
  return "M" + points.map(([t, v]) => `${num(xOf(box, t))},${num(y(v))}`).join("L");
}

// Cut a line off at the ends of the window; past its last point it goes on level.
function clipped(points, box) {
  const final = points[points.length - 1];
  if (points.length === 1 || final[0] < box.last) points = [...points, [Math.max(box.last, final[0]), final[1]]];
  for (const [end, sign] of [[box.first, 1], [box.last, -1]]) {
    const n = sign > 0 ? 0 : points.length - 1, one = points[n], other = points[n + sign];
    if ((one[0] - end) * sign >= 0) continue;
    const share = other[0] === one[0] ? 0 : (end - one[0]) / (other[0] - one[0]);
    points[n] = [end, one[1] + (other[1] - one[1]) * share];
  }
  return points;
}
