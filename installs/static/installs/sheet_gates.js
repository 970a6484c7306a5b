// What is in the way on the sheet of a fitting, by its state (installs/phone/sheet_state.py): as
// installs/gates.py and installs/conditions.py have it. Each is {code, ...values} for words.

import { countApart, placesOf, withoutFixing } from "./fixings.js";

const DECIDING = "pass";
const GATE_OF_PHASE = {
  removal: beforeRemoval, fixing: beforeFixing, glazing: beforeGlazing, finishing: beforeGlazing,
};

export const hasPassed = (step) => step.state === DECIDING;

/** What a step waits for before it can be recorded. */
export function beforeStep(state, step) {
  const holds = state.steps.filter((earlier) => earlier.hold_point && earlier.number < step.number);
  return distinct([...beforePhase(state, step.phase), ...notPassed(holds)]);
}

export const beforePhase = (state, phase) => GATE_OF_PHASE[phase]?.(state) || [];

/** Members that too few mechanical fixings hold, with how many more they need. */
export function tooFewFixings(state) {
  return Object.values(state.members).flatMap((member) => {
    const held = countApart(placesOf(member), state.rules.least_apart);
    const count = member.wanted - held;
    return count > 0 ? [{ code: "blockedFixings", member: member.label, count }] : [];
  });
}

export const isOutOfSquare = (done, { diagonals_within: within }) =>
  isNumber(done?.rising_diagonal) && isNumber(done?.falling_diagonal) &&
  Math.abs(done.rising_diagonal - done.falling_diagonal) > within;

function beforeRemoval(state) {
  return state.before_removal.map((words) => ({ code: "words", words }));
}

function beforeFixing(state) {
  return [
    ...state.before_fixing.map((words) => ({ code: "words", words })),
    ...notPassed(holdPointsBefore(state, "fixing")),
    ...notPassed(stepsOfGate(state, "fixing")),
  ];
}

function beforeGlazing(state) {
  return [
    ...notPassed(holdPointsBefore(state, "glazing")),
    ...Object.values(state.members).flatMap((member) =>
      (member.without_layout ? [{ code: "blockedLayout", member: member.label }] : [])),
    ...tooFewFixings(state),
    ...fixingsOffTheirPlace(state),
    ...notPassed(stepsOfGate(state, "glazing")),
  ];
}

/** Where nothing is fixed yet, nothing is off its place. */
function fixingsOffTheirPlace(state) {
  const members = Object.values(state.members);
  if (!members.some((member) => placesOf(member).length)) return [];
  return members.flatMap((member) =>
    withoutFixing(member.planned, placesOf(member), state.rules.within)
      .filter((place) => !member.accepted_positions.includes(place))
      .map((place) => ({ code: "blockedPlace", member: member.label, place })));
}

function holdPointsBefore(state, phase) {
  const earlier = state.phases.slice(0, state.phases.indexOf(phase));
  return state.steps.filter((step) => step.hold_point && earlier.includes(step.phase));
}

const stepsOfGate = (state, gate) => state.steps.filter(({ gates }) => gates.includes(gate));

const notPassed = (steps) => steps.filter((step) => !hasPassed(step)).map((step) => ({
  code: step.state ? "blockedAgain" : "blockedStep", number: step.number, title: step.title,
}));

const distinct = (blockers) =>
  [...new Map(blockers.map((blocker) => [JSON.stringify(blocker), blocker])).values()];

const isNumber = (value) => typeof value === "number";
