// What came of an entry, beside the form that it was recorded with: at once as this phone judges it,
// then as the server did.

import { element, mark } from "./marks.js";
import { blockerList } from "./sheet_fold.js";
import { text } from "./texts.js";

const SIGNS = {
  pass: ["good", "✓"], fail: ["look", "✗"], inconclusive: ["look", "?"],
  noted: ["rest", "…"], saved: ["good", "✓"],
};

// The newest of each form, by its place: a page that was refreshed shows it again.
const outcomes = new Map();

/** `verdict`: {decision, reasons, act, blockers}, or null for what nobody judges. Without `answered`, it is
 * this phone's own. */
export function showOutcome(form, place, verdict, { answered = false } = {}) {
  const before = outcomes.get(place);
  const here = before?.verdict?.decision;
  const differs = answered && verdict && here && here !== "noted" && here !== verdict.decision;
  const reasons = verdict?.reasons || (differs ? [] : before?.verdict?.reasons) || [];
  outcomes.set(place, { verdict: verdict && { ...verdict, reasons }, answered, differs });
  redraw(form, place);
}

export function forgetOutcome(form, place) {
  outcomes.delete(place);
  boxIn(form)?.remove();
}

/** After the page was refreshed. */
export function redraw(form, place) {
  boxIn(form)?.remove();
  const outcome = outcomes.get(place);
  if (outcome) form.append(box(outcome));
}

const boxIn = (form) => form.querySelector(":scope > .outcome-here");

function box({ verdict, answered, differs }) {
  const reached = verdict?.decision || (answered ? "saved" : "noted");
  const whole = element("div", { className: `outcome-here verdict ${reached}` });
  whole.setAttribute("role", "status");
  const line = element("p", { className: "outcome" });
  line.append(mark(...SIGNS[reached], text(`outcome_${reached}`)));
  whole.append(line);
  if (differs) whole.append(element("p", { className: "note warning", textContent: text("judgedOtherwise") }));
  if (verdict?.blockers?.length) whole.append(waitsFor(verdict.blockers));
  if (verdict?.act) whole.append(element("p", { className: "act", textContent: verdict.act }));
  if (verdict?.reasons.length) whole.append(listOf(verdict.reasons));
  return whole;
}

/** What has to come first, or the server refuses it. */
function waitsFor(blockers) {
  const note = element("div", { className: "note warning" });
  note.append(element("p", { textContent: text("waitsFor") }), blockerList(blockers));
  return note;
}

function listOf(sentences) {
  const list = element("ul");
  list.append(...sentences.map((sentence) => element("li", { textContent: sentence })));
  return list;
}
