// Thinning for the screen: the same code as report/columns.py, held against it and the trace by a test.
// Rule: a column in which something changed is never drawn as if nothing had.

// The first place from `from` on whose time is `t` or later.
function place(times, t, from = 0) {
  let low = from, high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle] < t) low = middle + 1;
    else high = middle;
  }
  return low;
}

function edges(first, last, width) {
  const pace = (last - first) / width, begins = new Float64Array(width + 1);
  for (let column = 0; column < width; column++) begins[column] = first + Math.floor(pace * column);
  begins[width] = last + 1;
  return begins;
}

// How many changes each column holds, and the number of the entry that stands at its end.
function columns(times, first, last, width) {
  const begins = edges(first, last, width), counts = new Uint32Array(width), after = new Int32Array(width);
  let here = Math.max(1, place(times, begins[0]));
  for (let column = 0; column < width; column++) {
    const there = Math.max(here, place(times, begins[column + 1], here));
    counts[column] = there - here;
    after[column] = there - 1;
    here = there;
  }
  return { counts, after };
}

// Where a line is at an instant; at a jump, after it.
function valueAt(course, t) {
  const { times, values } = course, n = Math.max(0, place(times, t + 1) - 1);
  if (course.kind !== "line" || n + 1 === times.length || t <= times[n]) return values[n];
  return values[n] + (values[n + 1] - values[n]) * ((t - times[n]) / (times[n + 1] - times[n]));
}

// Least and greatest value of a numeric course in each column.
function spans(course, first, last, width) {
  const { times, values } = course, begins = edges(first, last, width);
  const { counts, after } = columns(times, first, last, width);
  const low = new Float64Array(width), high = new Float64Array(width);
  for (let column = 0; column < width; column++) {
    const before = after[column] - counts[column];
    const start = course.kind === "line" ? valueAt(course, begins[column]) : values[before];
    const end = course.kind === "line" ? valueAt(course, Math.min(begins[column + 1], last)) : start;
    let least = Math.min(start, end), most = Math.max(start, end);
    for (let i = before + 1; i <= after[column]; i++) {
      if (values[i] < least) least = values[i];
      if (values[i] > most) most = values[i];
    }
    low[column] = least;
    high[column] = most;
  }
  return { low, high };
}
