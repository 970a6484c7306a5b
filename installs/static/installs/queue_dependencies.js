// What an operation depends on: what was queued before it for the same record or the same place, and
// what it is judged by. Only that stops it; the rest of the queue goes on without it.

import { kindsBefore, placeFields } from "./texts.js";

const FITTING = /^\/fittings\/([0-9a-f-]{36})\//;

/** Ids of those of the queued entries that come before this one, the newest last. `judgedBy`: further
 * kinds that come before it where they are of the same doorset. */
export function idsBefore(entry, queued, judgedBy = []) {
  const kinds = new Set([...kindsBefore(entry.operation.kind), ...judgedBy]);
  return queued
    .filter((earlier) =>
      earlier.operation.record === entry.operation.record ||
      isSamePlace(earlier.operation.body, entry.operation.body) ||
      (kinds.has(earlier.operation.kind) && isSameDoorset(earlier, entry)))
    .map(({ id }) => id);
}

/** Whether two bodies are about the same place. The doorset alone is none. */
export function isSamePlace(one, other) {
  const [, ...within] = placeFields;
  return placeFields.every((name) => one[name] === other[name]) &&
    within.some((name) => one[name] !== undefined);
}

/** As far as both of them tell, by what they say or by the page that they were recorded on. */
function isSameDoorset(one, other) {
  const [first, second] = [one, other].map(doorsetOf);
  return !first || !second || first === second;
}

const doorsetOf = ({ operation, place }) =>
  operation.body.installation || (FITTING.exec(place || "") || [])[1];
