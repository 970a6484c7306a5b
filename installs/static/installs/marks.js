// Elements of the page, and states of entries of the queue: each has a label and a shape.

import { text } from "./texts.js";

// Tone and sign of each state, as the states of all pages have them.
const STATES = {
  queued: ["rest", "…"],
  sending: ["rest", "↻"],
  done: ["good", "✓"],
  conflict: ["look", "!"],
  refused: ["look", "✗"],
  decided: ["rest", "–"],
  set_aside: ["rest", "–"],
};

export const stateMark = (name) => mark(...STATES[name], text(name));

export function mark(tone, sign, label) {
  const shape = element("span", { className: "sign", textContent: sign });
  shape.setAttribute("aria-hidden", "true");
  const whole = element("span", { className: `state-mark ${tone}` });
  whole.append(shape, ` ${label}`);
  return whole;
}

export const element = (name, properties = {}) =>
  Object.assign(document.createElement(name), properties);
