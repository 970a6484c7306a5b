// The verdict on what was read, by limits that the server worked out for each instrument
// (installs/phone/limits.py). Numbers are compared here; nothing is calculated that the service
// calculates otherwise.

// Gaps that are judged by two numbers at once are looked up, in hundredths of a mm.
const HUNDREDTHS = 100;
const OFF_THE_GRID = 1e-6;
const MM_A_METRE = 1000;
const BY_TABLE = ["fail", "inconclusive", "pass", "inconclusive", "fail"];

const VALUE_BY_METHOD = {
  direct: ([value]) => value,
  difference: ([first, second]) => first - second,
  spread: (values) => Math.max(...values) - Math.min(...values),
};

/** The worst of several decisions: one failure fails, one doubt leaves doubt. */
export function worst(decisions) {
  if (decisions.includes("fail")) return "fail";
  return decisions.includes("inconclusive") ? "inconclusive" : "pass";
}

/** What was read at a step, number by number: [{label, value, unit, allowed, decision}]. Null where
 * this phone has no limits for that instrument there, or not all was read. */
export function judgeReadings({ step, instrument, readings = [] }, limits) {
  const { criteria, by_instrument: byInstrument } = limits.steps[step] || {};
  const numbers = byInstrument?.[instrument];
  if (!numbers) return null;
  const read = new Map(readings.map(({ place, value }) => [place, value]));
  const judged = criteria.map(({ method, of, ...criterion }, index) => {
    const value = VALUE_BY_METHOD[method](of.map((place) => read.get(place)));
    return { ...criterion, value, decision: decide(limits.limits[numbers[index]], value) };
  });
  return judged.every(({ value }) => Number.isFinite(value)) ? judged : null;
}

/** The decision about the gaps of a junction; null where only the server can tell. */
export function judgeGap({ instrument, head_gap: head, sill_gap: sill }, limits) {
  const by = limits.gaps.by_instrument[instrument];
  if (!by || !Number.isFinite(head) || !Number.isFinite(sill)) return null;
  if (by.table === undefined) return decide(limits.limits[by.limits], head - sill);
  return lookUp(limits.tables[by.table], Math.abs(head - sill), Math.min(head, sill));
}

/** What cannot be meant among the readings of an operation: [{pointer, code, ...values}]. */
export function impossible({ kind, body }, limits) {
  if (kind === "record_gap") {
    const gaps = ["head_gap", "sill_gap"].map((name) => [`/${name}`, body[name], limits.gaps]);
    return gaps.flatMap(([pointer, value, bounds]) => beyond(pointer, value, { unit: "mm", ...bounds }));
  }
  const { criteria = [] } = (kind === "inspect_step" && limits.steps[body.step]) || {};
  const bounds = new Map(criteria.flatMap((one) => one.of.map((place) => [place, one])));
  return (body.readings || []).flatMap(({ place, value }, index) =>
    (bounds.has(place) ? beyond(`/readings/${index}/value`, value, bounds.get(place)) : []));
}

function beyond(pointer, value, { lowest, highest, unit }) {
  if (typeof value !== "number" || (lowest <= value && value <= highest)) return [];
  const isInMetres = value > 0 && value < lowest && lowest <= value * MM_A_METRE;
  return [{ pointer, code: isInMetres ? "inMetres" : "notPossible", value, lowest, highest, unit }];
}

/** Each edge begins the decision after it. */
function decide({ edges, decisions }, value) {
  return decisions[edges.filter((edge) => edge <= value).length];
}

/** A row for each hundredth by which the gaps differ, with the edges of the smaller one. */
function lookUp(rows, apart, smaller) {
  const [row, column] = [apart, smaller].map((gap) => Math.round(gap * HUNDREDTHS));
  const off = Math.abs(apart * HUNDREDTHS - row) + Math.abs(smaller * HUNDREDTHS - column);
  if (off > OFF_THE_GRID) return null;
  return row < rows.length ? BY_TABLE[rows[row].filter((edge) => edge <= column).length] : "fail";
}
