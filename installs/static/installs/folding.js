// The queue laid over the state of a fitting: what the sheet will be once it is sent. Each kind of
// operation is refused and changes the state as its service does (installs/operations.py); what
// depends on what was refused waits, and is tried again as long as anything else is done, as the
// queue itself is sent.

import { impossible, judgeGap, judgeReadings, worst } from "./judging.js";
import { beforePhase, beforeStep, isOutOfSquare, tooFewFixings } from "./sheet_gates.js";

const SIDES = ["top", "bottom", "left", "right"];
// What is noted, and judged only when it is sent.
const NOTED = "noted";
const SASH_FIELDS =
  ["blocks_set", "brace_set", "glass_marking", "rising_diagonal", "falling_diagonal"];

const RULES = {
  inspect_step: { blockers: beforeInspection, apply: inspect },
  record_fixing: { blockers: beforeFixing, apply: fix },
  record_gap: { blockers: (state) => beforePhase(state, "glazing"), apply: readGap },
  record_sash: { blockers: (state) => beforePhase(state, "glazing"), apply: recordSash },
  change_sash: { blockers: () => [], apply: changeSash },
  take_bead_off: { blockers: beforeBeadOff, apply: takeBeadOff },
  put_bead_back: { blockers: beforeBeadBack, apply: putBeadBack },
  report_defect: { blockers: () => [], apply: (state) => { state.defects += 1; } },
};

/** {state, outcomes}: `outcomes` by the entry's id, each {decision, judged, blockers}: what came of it
 * here, or what is in its way. `entries` in the order in which they were done. */
export function fold(before, limits, entries) {
  const state = structuredClone(before);
  const outcomes = new Map();
  const open = new Set(entries.filter((entry) => isOf(state, entry)));
  for (let done = true; done;) {
    done = false;
    for (const entry of open) {
      if (!isItsTurn(entry, open)) continue;
      const outcome = take(state, limits, entry.operation);
      outcomes.set(entry.id, outcome);
      if (outcome.blockers.length) continue;
      open.delete(entry);
      done = true;
    }
  }
  return { state, outcomes };
}

function take(state, limits, { kind, record, body }) {
  const rule = RULES[kind];
  if (!rule) return { blockers: [] };
  const slips = limits ? impossible({ kind, body }, limits) : [];
  const blockers = slips.length ? slips : rule.blockers(state, body, record);
  return blockers.length ? { blockers } : { blockers, ...rule.apply(state, body, record, limits) };
}

/** Not in the state already, and of this fitting. What names neither it nor a step of it changes a
 * record, which is found by its identity. */
function isOf(state, { id, operation: { body } }) {
  if (state.applied.includes(id.slice(0, 8))) return false;
  return !body.installation || body.installation === state.installation;
}

function isItsTurn({ operation: { after, also_after: alsoAfter = [] } }, open) {
  const waiting = new Set(Array.from(open, ({ id }) => id));
  return ![after, ...alsoAfter].some((id) => waiting.has(id));
}

// -- steps ------------------------------------------------------------------------------------

function beforeInspection(state, body) {
  const step = stepOf(state, body);
  if (!step) return [];
  if (step.phase === "handover") return [{ code: "blockedHandover" }];
  const blockers = beforeStep(state, step);
  return blockers.length ? blockers : [...lacking(state, step, body), ...outOfSquare(state, step, body)];
}

/** What the record does not bear out of a step that is confirmed. */
function lacking(state, { register }, { acknowledged, note }) {
  if (!acknowledged) return [];
  const missing = {
    survey_after_removal: () => openWall(state, note),
    beads_off: () => beads(state, (bead) => !bead),
    beads_back: () => beads(state, (bead) => !bead?.back),
    gaps: () => gaps(state, ({ decision }) => !decision),
    gaps_after_glass: () => gaps(state, (gap) => !gap.decision || !gap.after_sashes),
  }[register];
  return missing ? missing() : [];
}

function openWall({ open_wall: { measured, against } }, note) {
  if (!measured) return note ? [] : [{ code: "blockedOpenWall" }];
  return against.map((words) => ({ code: "words", words }));
}

function beads(state, isMissing) {
  const sashes = Object.entries(state.sashes)
    .filter(([, sash]) => SIDES.some((side) => isMissing(sash.beads[side])))
    .map(([number]) => number);
  return sashes.length ? [{ code: "blockedBeads", sashes: sashes.join(", ") }] : [];
}

function gaps(state, isMissing) {
  const junctions = Object.entries(state.junctions)
    .filter(([, gap]) => isMissing(gap))
    .map(([number]) => number);
  return junctions.length ? [{ code: "blockedGaps", junctions: junctions.join(", ") }] : [];
}

/** With the glass packed and the beads on, a sash that is out of square stays so. */
function outOfSquare(state, step, { acknowledged, checks = {} }) {
  if (!["blocks", "glass_marking", "beads_back"].includes(step.on_the_map)) return [];
  return Object.entries(state.sashes)
    .filter(([number, { done }]) =>
      (acknowledged || checks[`sash_${number}`]) && isOutOfSquare(done, state.rules))
    .map(([number]) => ({ code: "blockedSquare", number }));
}

function inspect(state, body, record, limits) {
  const step = stepOf(state, body);
  if (!step) return {};
  const judged = step.reads ? limits && judgeReadings(body, limits) : [];
  const decision = decide(state, step, body, judged);
  step.state = decision;
  step.accepted = false;
  if (decision === "fail") openDefect(state, step);
  return { decision, judged: judged || [] };
}

function decide(state, step, { acknowledged, checks = {} }, judged) {
  const isLacking = step.register === "fixings" && tooFewFixings(state).length > 0;
  if (isLacking || (step.confirms && !acknowledged)) return "fail";
  if (Object.values(checks).includes(false)) return "fail";
  // What a joint was sealed with, and under which conditions, takes a calculation.
  if (step.seals || !judged) return NOTED;
  return worst(judged.map(({ decision }) => decision));
}

/** The failures of a step are one open defect. */
function openDefect(state, { id }) {
  if (state.failed_steps.includes(id)) return;
  state.failed_steps = [...state.failed_steps, id].sort();
  state.defects += 1;
}

const stepOf = (state, { step }) => state.steps.find(({ id }) => id === step);

// -- fixings and gaps -------------------------------------------------------------------------

function beforeFixing(state, { member, position }) {
  const { length } = state.members[member];
  if (position > length) return [{ code: "blockedBeyond", length }];
  return beforePhase(state, "fixing");
}

function fix(state, { member, position, kind }) {
  const { fixings } = state.members[member];
  if (fixings.some((one) => one.position === position && one.kind === kind)) return {};
  fixings.push({ position, kind });
  // What was accepted as it is was accepted before this one.
  if (kind === "foam_only") state.defects += 1;
  else for (const one of Object.values(state.members)) one.accepted_positions = [];
  return {};
}

function readGap(state, body, record, limits) {
  const decision = (limits && judgeGap(body, limits)) || NOTED;
  state.junctions[body.junction] = { decision, accepted: false, after_sashes: true };
  return { decision, judged: [] };
}

// -- sashes and beads -------------------------------------------------------------------------

function recordSash(state, body, record) {
  const sash = state.sashes[body.leaf];
  if (sash.done) return {};
  const nothing = Object.fromEntries(SASH_FIELDS.map((name) => [name, null]));
  Object.assign(sash, { record, done: { ...nothing, glass_marking: "" } });
  return changeSash(state, body, record);
}

/** Gaps that were read before it are read again. */
function changeSash(state, body, record) {
  const sash = Object.values(state.sashes).find((one) => one.record === record);
  if (!sash) return {};
  for (const name of SASH_FIELDS) if (name in body) sash.done[name] = body[name];
  for (const gap of Object.values(state.junctions)) gap.after_sashes = false;
  return {};
}

function beforeBeadOff(state, { leaf, side, number }) {
  const taken = Object.entries(state.sashes).flatMap(([of, { beads: known }]) =>
    Object.entries(known).filter(([at]) => Number(of) !== leaf || at !== side));
  if (taken.some(([, bead]) => bead.number === number)) return [{ code: "blockedNumber", number }];
  return beforePhase(state, "removal");
}

function takeBeadOff(state, { leaf, side, number }, record) {
  state.sashes[leaf].beads[side] ||= { record, number, back: false };
  return {};
}

function beforeBeadBack(state, { leaf, side }, record) {
  const known = beadsAround(state, record);
  if (!known) return [];
  const earlier = SIDES.slice(0, SIDES.indexOf(side)).filter((one) => !known[one]?.back);
  const turn = earlier.slice(0, 1).map((first) => ({ code: "blockedTurn", leaf, side: first }));
  return [...beforePhase(state, "glazing"), ...turn];
}

function putBeadBack(state, { side }, record) {
  const known = beadsAround(state, record);
  if (known) known[side].back = true;
  return {};
}

/** Those of the sash that a bead came from; undefined for a bead of another fitting. */
const beadsAround = (state, record) => Object.values(state.sashes)
  .map(({ beads: known }) => known)
  .find((known) => Object.values(known).some((bead) => bead.record === record));
