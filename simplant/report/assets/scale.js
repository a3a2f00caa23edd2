// The time scale and the lanes of what happened: as report/time_scale.py and report/timing.py.
// Rule: a mark has a text; its shape says what it is, never a colour alone.

const SECOND = 1e9;
const LONG = [60, 120, 300, 600, 1200, 1800, 3600, 7200, 14400, 43200, 86400].map((n) => n * SECOND);

function stepOf(span, width, characters = 11) {
  const least = span * characters * CHARACTER / width;
  for (let size = 1; size <= 10 * SECOND; size *= 10) {
    for (const factor of [1, 2, 5]) {
      if (size * factor >= least && size * factor < 60 * SECOND) return size * factor;
    }
  }
  return LONG.find((long) => long >= least) || LONG[LONG.length - 1];
}

function tickText(t, step) {
  if (step >= 60 * SECOND) {
    const minutes = Math.floor(t / SECOND / 60), rest = Math.floor(t / SECOND) % 60;
    return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, "0")}:${String(rest).padStart(2, "0")}`;
  }
  let digits = 0, unit = SECOND;
  for (; step % unit && digits < 9; unit /= 10) digits++;
  const rest = Math.floor((t % SECOND) / unit);
  return `${Math.floor(t / SECOND)}${digits ? "." + String(rest).padStart(digits, "0") : ""} s`;
}

// An instant or a length for people: seconds with as many digits as `fine` (ns) asks for.
function timeText(t, fine) {
  const digits = Math.min(9, Math.max(3, Math.ceil(-Math.log10(fine / SECOND))));
  return `${(t / SECOND).toFixed(digits)} s`;
}

function drawScale(box, bottom) {
  const step = stepOf(box.last - box.first, box.width);
  let out = "";
  for (let at = Math.ceil(box.first / step) * step; at <= box.last; at += step) {
    const x = xOf(box, at), words = tickText(at, step);
    out += pathOf(`M${num(x)},28V${num(bottom)}`, "tick");
    out += textOf(words, Math.min(x - 4, box.left + box.width - words.length * 6), 22, "small");
  }
  return out;
}

function drawLane(lane, box) {
  const seen = lane.marks.filter(([start, end]) => end >= box.first && start <= box.last);
  let out = "", before = -Infinity;
  seen.forEach(([start, end, words], n) => {
    const x = xOf(box, Math.max(start, box.first)), ends = xOf(box, Math.min(end, box.last));
    const following = n + 1 < seen.length ? xOf(box, seen[n + 1][0]) : box.left + box.width;
    if (x - before >= 1 || ends - x > 5) out += markShape(lane.name, x, ends, box);
    if (x - before >= 1) before = x;
    const told = cut(words, following - x - 14);
    if (told) out += textOf(told, x + 9, box.top + 16, "", words);
  });
  return out;
}

function markShape(name, x, end, box) {
  const top = box.top + 4, low = box.top + box.height - 4;
  if (end - x > 5) {
    const size = `x="${num(x)}" y="${num(top)}" width="${num(end - x)}" height="${num(low - top)}"`;
    return `<rect ${size} class="lasts"/>`;
  }
  if (name !== "broken rules") return pathOf(`M${num(x)},${num(low)}l-4,-8h8z`, "mark");
  const side = (low - top) / 2 - 1, [a, b, c, d] = [x - side, top + 1, x + side, low - 1].map(num);
  return pathOf(`M${a},${b}L${c},${d}M${a},${d}L${c},${b}`, "cross");
}
