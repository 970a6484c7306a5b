// The verdict of this phone on what is being recorded, in words.

import { judgeGap, judgeReadings, worst } from "./judging.js";
import { savedJson } from "./saved_json.js";
import { foldedSheet } from "./sheet_fold.js";
import { number, text } from "./texts.js";

const FITTING = /^\/fittings\/[0-9a-f-]{36}\//;
// A verdict that is not there by then comes from the server.
const PATIENCE_MS = 250;

const [fitting] = FITTING.exec(location.pathname) || [];

/** What readings of the fitting of this page are compared with; null where that is not known. */
export const limits = fitting ? savedJson(`${fitting}limits.json`) : Promise.resolve(null);

/** The same, or null where they are not here soon. */
export const limitsAtHand = () => soon(limits);

const soon = (promise) =>
  Promise.race([promise, new Promise((resolve) => setTimeout(resolve, PATIENCE_MS, null))]);

/** {decision, reasons, blockers}, or null for what nobody judges, and what only the server can judge.
 * `entries` are all of the queue that may not be on record yet, with this one. */
export async function verdictOn({ id, operation: { kind, body } }, entries) {
  const known = await limitsAtHand();
  const folded = fitting && (await soon(foldedSheet(fitting, entries, known)));
  const outcome = folded?.outcomes.get(id) || (known && judge(kind, body, known));
  if (!outcome?.decision && !outcome?.blockers?.length) return null;
  const { decision, judged = [], blockers = [] } = outcome;
  return { decision, reasons: reasonsOf(kind, body, decision, judged, known), blockers };
}

/** Without the state of the sheet, by the readings alone. */
function judge(kind, body, known) {
  if (kind === "record_gap") return { decision: judgeGap(body, known) };
  const judged = kind === "inspect_step" && judgeReadings(body, known);
  if (!judged) return null;
  const inOrder = Object.values(body.checks || {}).every(Boolean);
  return { decision: worst([inOrder ? "pass" : "fail", ...judged.map(({ decision }) => decision)]), judged };
}

function reasonsOf(kind, body, decision, judged, known) {
  if (kind === "record_gap" && decision !== "pass" && known) {
    const gaps = { head: figure(body.head_gap), sill: figure(body.sill_gap) };
    return [text("gapsJudged", { ...gaps, allowed: known.gaps.allowed })];
  }
  return judged.filter((one) => one.decision !== "pass").map(reasonOf);
}

const reasonOf = ({ label, value, unit, allowed, decision }) =>
  text(decision === "fail" ? "judgedBeyond" : "judgedTooNear", {
    label, value: figure(value), unit, allowed,
  });

/** To a hundredth at most: what two readings differ by has digits that nobody read. */
const figure = (value) => number(value, 2);
