// A form with data-refill takes back what was recorded with it and refused: filled in as it was, with
// what is wrong beside its fields. Saved again, it goes in its place.

import { stateOf } from "./queue_store.js";
import { isVisible, readSheet } from "./sheet_body.js";
import { showProblem } from "./sheet_errors.js";

export async function takeBack(form, queue, place) {
  if (!("refill" in form.dataset)) return;
  const entries = await queue.store.all("queued");
  const refused = entries.find((entry) => entry.place === place && stateOf(entry) === "refused");
  if (!refused) return;
  fillIn(form, refused.rows);
  form.dataset.queued = refused.id;
  showProblem(form, refused.answer.problem, readSheet(form).fields);
}

function fillIn(form, rows) {
  const typed = new Map(rows.map(({ name, text }) => [name, text]));
  const ticked = new Set(rows.map(({ name, text }) => `${name}=${text}`));
  for (const field of Array.from(form.elements)) {
    if (!field.name || !isVisible(field) || "notSent" in field.dataset) continue;
    if (["checkbox", "radio"].includes(field.type)) field.checked = ticked.has(`${field.name}=${field.value}`);
    else field.value = typed.get(field.name) ?? "";
  }
}
