// What is said of something in the queue, in words; a state always has a shape too.

// By kind of operation; the page brings them, so that a page that is kept has them, too. One that
// was kept before there was such a kind shows its bare name.
const LABELS = JSON.parse(document.getElementById("operation-labels")?.textContent || "{}");

// Tone, sign and words of each standing, as the states of all pages have them.
const STATES = {
  queued: ["rest", "…", "waiting"],
  sending: ["rest", "↻", "on its way, no answer yet"],
  done: ["good", "✓", "sent"],
  conflict: ["look", "!", "somebody else changed it"],
  refused: ["look", "✗", "not taken"],
  decided: ["rest", "–", "left as the other person made it"],
};

export const kindWords = (kind) => (kind ? LABELS[kind] || kind : "Photograph");

export function stateMark(name, words = "") {
  const [tone, sign, own] = STATES[name];
  return mark(tone, sign, words || own);
}

export function mark(tone, sign, words) {
  const shape = element("span", { className: "sign", textContent: sign });
  shape.setAttribute("aria-hidden", "true");
  const whole = element("span", { className: `state-mark ${tone}` });
  whole.append(shape, ` ${words}`);
  return whole;
}

/** "Gap at the head: 4.2 mm, Gap at the sill: 3.9 mm" */
export const rowWords = (rows = []) => rows.map(oneRow).join(", ");

function oneRow({ label, shown, unit }) {
  const value = [shown, unit].filter(Boolean).join(" ");
  return shown ? `${label}: ${value}` : label;
}

/** The time of day; with the day where it was another one. */
export function timeWords(moment) {
  const at = new Date(moment);
  const time = at.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  if (at.toDateString() === new Date().toDateString()) return time;
  return `${at.toLocaleDateString("en-GB", { day: "numeric", month: "short" })} ${time}`;
}

export const element = (name, properties = {}) =>
  Object.assign(document.createElement(name), properties);
