// Courses read back from the page: the other half of report/packed.py.
// Rule: numbers stay exact; above 2^31 no bit operators, as these count only 32 bits.
"use strict";

function bytesOf(text) {
  const raw = atob(text), bytes = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
  return bytes;
}

function numbersOf(text, n) {
  const bytes = bytesOf(text), out = new Float64Array(n);
  let at = 0;
  for (let i = 0; i < n; i++) {
    let value = 0, scale = 1, byte;
    do {
      byte = bytes[at++];
      value += (byte & 127) * scale;
      scale *= 128;
    } while (byte > 127);
    out[i] = value;
  }
  return out;
}

function summed(numbers, unit) {
  let sum = 0;
  for (let i = 0; i < numbers.length; i++) numbers[i] = (sum += numbers[i]) * unit;
  return numbers;
}

function valuesOf(row) {
  if (row.kind === "level") return Uint8Array.from({ length: row.n }, (_, i) => (row.v + i) % 2);
  if (row.kind === "word") return numbersOf(row.v, row.n);
  if (row.real) return new Float64Array(bytesOf(row.v).buffer);
  const steps = numbersOf(row.v, row.n);
  for (let i = 0; i < steps.length; i++) steps[i] = steps[i] % 2 ? -(steps[i] + 1) / 2 : steps[i] / 2;
  const values = summed(steps, 1);
  for (let i = 0; i < values.length; i++) values[i] = row.low + values[i] * row.step;
  return values;
}

// A row of the page: { name, kind, times, values, words }.
function courseOf(row) {
  return { ...row, times: summed(numbersOf(row.t, row.n), row.unit), values: valuesOf(row), t: null, v: null };
}
