// The texts of the scripts in the language of the page, which gives them; see
// templatetags/offline.py.

const given = document.getElementById("offline-texts")?.textContent;
const NOTHING = { operations: {}, texts: {}, placeFields: {}, follows: {} };
const { operations, texts, signs = {}, ...rules } = given ? JSON.parse(given) : NOTHING;

// What makes one operation depend on another; see `installs/operations.py`.
export const placeFields = Object.keys(rules.placeFields);
export const kindsBefore = (kind) => Object.keys(rules.follows[kind] || {});
const LANGUAGE = document.documentElement.lang;

/** [tone, sign] of a state, as all pages show it. */
export const signOf = (state) => Object.entries(signs[state] || { rest: "·" })[0];

/** The text of that name, with its placeholders filled in. */
export function text(name, values = {}) {
  return (texts[name] || name).replace(/\{(\w+)\}/g, (_, key) => values[key]);
}

/** What an operation of that kind is called; without a kind, a photograph. */
export const operationLabel = (kind) => (kind ? operations[kind] || kind : text("photo"));

/** "Gap at the head: 4.2 mm, Gap at the sill: 3.9 mm" */
export const rowsLabel = (rows = []) =>
  rows.filter(({ beside }) => !beside).map(rowLabel).join(", ");

function rowLabel({ label, display, unit }) {
  const value = [display, unit].filter(Boolean).join(" ");
  return display ? text("field", { label, value }) : label;
}

/** To a tenth at most, as `jobs/figures.py` writes figures. */
export const number = (value, digits = 1) =>
  value.toLocaleString(LANGUAGE, { maximumFractionDigits: digits, useGrouping: false });

/** The time of day; with the day where it was another one. */
export function timeLabel(moment) {
  const at = new Date(moment);
  const time = at.toLocaleTimeString(LANGUAGE, { hour: "2-digit", minute: "2-digit" });
  if (at.toDateString() === new Date().toDateString()) return time;
  return `${at.toLocaleDateString(LANGUAGE, { day: "numeric", month: "short" })} ${time}`;
}
