// The verdict of this phone on what is being recorded, in words.

import { judgeGap, judgeReadings, worst } from "./judging.js";
import { savedJson } from "./saved_json.js";
import { text } from "./texts.js";

const FITTING = /^\/fittings\/[0-9a-f-]{36}\//;

// A verdict that is not there by then comes from the server.
const PATIENCE_MS = 250;
const limits = loadLimits();

async function loadLimits() {
  const [fitting] = FITTING.exec(location.pathname) || [];
  return fitting ? savedJson(`${fitting}limits.json`) : null;
}

/** {decision, reasons}, or null for what nobody judges, and what only the server can judge. */
export async function verdictOn({ operation: { kind, body } }) {
  const known = await Promise.race([limits, new Promise((late) => setTimeout(late, PATIENCE_MS))]);
  if (!known) return null;
  if (kind === "record_gap") return verdictOnGap(body, known);
  return kind === "inspect_step" ? verdictOnStep(body, known) : null;
}

function verdictOnGap(body, known) {
  const decision = judgeGap(body, known);
  if (!decision) return null;
  const reasons = decision === "pass" ? [] : [text("gapsJudged", {
    head: number(body.head_gap), sill: number(body.sill_gap), allowed: known.gaps.allowed,
  })];
  return { decision, reasons };
}

function verdictOnStep(body, known) {
  const judged = judgeReadings(body, known);
  if (!judged) return null;
  const inOrder = Object.values(body.checks || {}).every(Boolean) && body.acknowledged !== false;
  const decisions = [inOrder ? "pass" : "fail", ...judged.map(({ decision }) => decision)];
  const reasons = judged.filter(({ decision }) => decision !== "pass").map(reasonOf);
  return { decision: worst(decisions), reasons };
}

const reasonOf = ({ label, value, unit, allowed, decision }) =>
  text(decision === "fail" ? "judgedBeyond" : "judgedTooNear", {
    label, value: number(value), unit, allowed,
  });

/** To a hundredth at most: what two readings differ by has digits that nobody read. */
const number = (value) =>
  value.toLocaleString(document.documentElement.lang, { maximumFractionDigits: 2 });
