// A form goes into the queue when it is filled in: what has to be, says `required`, which follows from
// the serializer of the body. Enter, or Go on a keypad, leads from field to field.

import { impossible } from "./judging.js";
import { isVisible, readSheet } from "./sheet_body.js";
import { showProblem } from "./sheet_errors.js";
import { text } from "./texts.js";

/** Shows what is still to be filled in, and what the page itself doubts, beside each field; returns
 * whether there is anything. A page that doubts listens to `sheet:check` and adds {field, detail}. */
export function refuseHalfFilled(form) {
  const found = fieldsOf(form)
    .filter((field) => field.required && isEmpty(field, form))
    .map((field) => ({ field, detail: text("fieldRequired") }));
  form.dispatchEvent(new CustomEvent("sheet:check", { detail: found }));
  if (!found.length) return false;
  const fields = new Map(found.map(({ field }) => [`/${field.name}`, field]));
  const errors = found.map(({ field, detail }) => ({ pointer: `/${field.name}`, detail }));
  showProblem(form, { errors }, fields);
  return true;
}

/** Shows what cannot be meant, beside each field; returns whether there is anything. `limits` as of
 * installs/phone/limits.py, null where they are not known. */
export function refuseImpossible(form, limits) {
  if (!limits) return false;
  const { body, fields } = readSheet(form);
  const slips = impossible({ kind: form.dataset.operation, body }, limits);
  const errors = slips.map(({ pointer, code, ...values }) => ({ pointer, detail: text(code, values) }));
  if (errors.length) showProblem(form, { errors }, fields);
  return errors.length > 0;
}

export function goOnWithEnter(form) {
  form.addEventListener("keydown", (event) => {
    const field = event.target;
    if (event.key !== "Enter" || event.isComposing || field.tagName !== "INPUT") return;
    event.preventDefault();
    const fields = fieldsOf(form);
    const next = fields.slice(fields.indexOf(field) + 1).find(({ name }) => name !== field.name);
    if (next) next.focus();
    else form.requestSubmit();
  });
}

const fieldsOf = (form) => Array.from(form.elements).filter((field) =>
  ["INPUT", "SELECT", "TEXTAREA"].includes(field.tagName) && isVisible(field) && !field.disabled);

function isEmpty(field, form) {
  if (field.type === "radio") return !form.elements[field.name].value;
  if (field.type === "checkbox") return !field.checked;
  return field.value.trim() === "";
}
