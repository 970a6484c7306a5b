// The state of each part of a fitting in words, by the state of its sheet: as views/part_states.py
// and labels.py have it for pages with a network. Each is {name, label}; `name` is one that the signs
// of all pages know.

import { compareFixings, isMechanical, placesOf } from "./fixings.js";
import { hasPassed, isOutOfSquare } from "./sheet_gates.js";
import { number, text } from "./texts.js";

// A class of BS EN 12600 as it is read off a pane, as jobs/arithmetic/glass_marks.py reads it.
const CLASS = /(?<![0-9A-Za-z])([123])\s?\(?([ABC])\)?\s?([0-3])(?![0-9A-Za-z])/gi;
const JUNCTIONS = {
  "": ["waiting", "gapsNotRead"], pass: ["pass", "gapsEven"], fail: ["fail", "gapsNotEven"],
  inconclusive: ["inconclusive", "gapsNotDecided"], noted: ["waiting", "notedHere"],
};

/** The first step that has not passed. */
export const nextStep = (state) => state.steps.find((step) => !hasPassed(step));

export function stepState(state, step) {
  if (hasPassed(step)) return said("done", step.accepted ? "stepAccepted" : "stepDone");
  if (!step.state) return step === nextStep(state) ? said("next", "stepNext") : said("waiting", "stepNotYet");
  return step.state === "noted" ? said("waiting", "notedHere") : said(step.state, `outcome_${step.state}`);
}

export function junctionState({ decision, accepted }) {
  return accepted ? said("pass", "gapsAccepted") : said(...JUNCTIONS[decision]);
}

export function sashState({ done, panes, beads }, rules) {
  const off = Object.values(beads).filter(({ back }) => !back).length;
  if (!done) return withBeadsOff("waiting", "sashNothing", off);
  if (isOutOfSquare(done, rules)) {
    const difference = Math.abs(done.rising_diagonal - done.falling_diagonal);
    return withBeadsOff("fail", "sashNotSquare", off, { difference: number(difference) });
  }
  if (!isComplete(done, panes)) return withBeadsOff("next", "sashBegun", off);
  return withBeadsOff(off ? "next" : "done", "sashDone", off);
}

export function memberState({ fixings, planned, without_layout: noLayout, planned_count: count }, rules) {
  const made = fixings.filter(isMechanical).length;
  if (noLayout || !planned.length) return said("attention", "memberWithoutLayout", { count: made });
  const foamAlone = fixings.length > made;
  const { missing, moved } = compareFixings(planned, placesOf({ fixings }), rules);
  const counts = { made, planned: count };
  if (foamAlone) return said("fail", "memberFoam", counts);
  if (missing.length) return said(made ? "next" : "waiting", "memberCounted", counts);
  return said(moved.length ? "attention" : "done", "memberCounted", counts);
}

/** [place, state] of each planned fixing of a member. */
export function fixingStates({ fixings, planned }, rules) {
  const { missing, moved } = compareFixings(planned, placesOf({ fixings }), rules);
  const instead = new Map(moved);
  return planned.map((place) => {
    const at = instead.get(place);
    if (at !== undefined) return [place, said("attention", "fixedInstead", { place: number(at) })];
    return [place, missing.includes(place) ? said("waiting", "fixingMissing") : said("done", "fixingDone")];
  });
}

/** Blocks, brace and glass; the marking shows the glass that was ordered. */
function isComplete({ blocks_set: blocks, brace_set: brace, glass_marking: marking }, panes) {
  if (!blocks || !brace || !marking) return false;
  const marks = Array.from(marking.matchAll(CLASS), ([, drop, breaks]) =>
    ({ drop: Number(drop), breaks: breaks.toUpperCase() }));
  const read = [...marks.slice(0, 1), ...(marks.length > 1 ? marks.slice(-1) : [])];
  return panes.every(({ breaks, drop_class: least }, index) => {
    const mark = read[index];
    return mark && mark.drop <= least && mark.breaks === (breaks || mark.breaks);
  });
}

function withBeadsOff(name, label, off, values) {
  const state = text(label, values);
  return { name, label: off ? text("withBeadsOff", { state, count: off }) : state };
}

const said = (name, label, values) => ({ name, label: text(label, values) });
