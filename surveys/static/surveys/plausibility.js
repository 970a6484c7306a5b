// Slips of tape and thumb that the sizes of one opening show by themselves, without a network; the
// same as `surveys/arithmetic/plausibility.py`, by the thresholds that the page brings.

const DIAGONALS = ["rising", "falling"];

/** [{reading, kind, about}] of `sizes` {widths, heights} in the order of their fields, null where
 * nothing was read, and `diagonals` {rising, falling}; mm. */
export function doubts(sizes, diagonals, t) {
  const kinds = ["widths", "heights"];
  const found = kinds.flatMap((kind) => ofSizes(kind, sizes[kind], t));
  const middles = kinds.map((kind) => middleOf(possible(sizes[kind], t)));
  return [...found, ...ofDiagonals(diagonals, middles, t)];
}

function ofSizes(kind, values, t) {
  const middle = middleOf(possible(values, t));
  const found = values.flatMap((value, index) =>
    (value === null ? [] : doubt(`${kind}.${index}`, value, middle, t.spread, t.highest, t)));
  const empty = values.findIndex((value) => value === null);
  const read = values.filter((value) => value !== null).length;
  if (read < t.fewest && empty >= 0) found.push({ reading: `${kind}.${empty}`, kind: "few", about: 0 });
  return found;
}

function ofDiagonals(given, [width, height], t) {
  const expected = width && height ? Math.hypot(width, height) : 0;
  return DIAGONALS.flatMap((name) => {
    const reading = `diagonals.${name}`;
    const value = given[name] ?? null;
    if (value === null) return [{ reading, kind: "missing", about: expected }];
    return doubt(reading, value, expected, t.diagonal, t.longest, t);
  });
}

/** The unit first, since it explains a value that is far off; `middle` is 0 where unknown. */
function doubt(reading, value, middle, within, highest, t) {
  const isSize = (size) => t.lowest <= size && size <= highest;
  if (value < t.lowest) {
    if (isSize(value * 1000)) return [{ reading, kind: "metres", about: value * 1000 }];
    if (isSize(value * 10)) return [{ reading, kind: "centimetres", about: value * 10 }];
    return [{ reading, kind: "impossible", about: 0 }];
  }
  if (value > highest) return [{ reading, kind: "impossible", about: 0 }];
  if (!middle || Math.abs(value - middle) <= within) return [];
  const inCentimetres = Math.abs(value * 10 - middle) <= within;
  return [inCentimetres
    ? { reading, kind: "centimetres", about: value * 10 }
    : { reading, kind: "off", about: middle }];
}

const possible = (values, t) =>
  values.filter((value) => value !== null && t.lowest <= value && value <= t.highest);

/** 0 where one value alone has nothing to be held against. */
function middleOf(values) {
  if (values.length < 2) return 0;
  const sorted = [...values].sort((first, second) => first - second);
  const half = Math.floor(sorted.length / 2);
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}
