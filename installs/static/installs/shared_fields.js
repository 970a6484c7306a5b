// What all rows of a sheet have in common is asked for once, above them: the names in data-shared. Each
// row still has the field, hidden, and is sent with what was chosen above.

import { element } from "./marks.js";
import { text } from "./texts.js";

export const sharedNames = (sheet) => (sheet.dataset.shared || "").split(" ").filter(Boolean);

const sharedField = (sheet, name) => sheet.querySelector(`[data-shared-field="${name}"]`);

/** The field of the first row, once above all of them. */
export function askOnce(sheet, rows, name) {
  const own = rows.map((row) => row.elements[name]).filter(Boolean);
  if (!own.length) return;
  const place = own[0].closest(".field").cloneNode(true);
  const field = place.querySelector(`[name="${name}"]`);
  field.removeAttribute("name");
  field.dataset.sharedField = name;
  field.value = own[0].value;
  // It is part of no form: nothing waits for it.
  field.addEventListener("input", (event) => event.stopPropagation());
  for (const part of place.querySelectorAll("[id]")) part.id = `${sheet.id || "sheet"}-${part.id}`;
  place.querySelector("label").htmlFor = field.id;
  const described = field.getAttribute("aria-describedby");
  if (described) field.setAttribute("aria-describedby", place.querySelector(".help").id);
  sheet.prepend(place);
  for (const other of own) other.closest(".field").hidden = true;
}

export function copyShared(sheet, row) {
  for (const name of sharedNames(sheet)) {
    const field = sharedField(sheet, name);
    if (field && row.elements[name]) row.elements[name].value = field.value;
  }
}

/** Marks what has to be chosen and is not; returns whether there is anything. */
export function refuseMissing(sheet) {
  const fields = sharedNames(sheet).map((name) => sharedField(sheet, name)).filter(Boolean);
  for (const field of fields) mark(field, field.required && !field.value);
  return fields.some((field) => field.required && !field.value);
}

function mark(field, isMissing) {
  const place = field.closest(".field");
  place.classList.toggle("wrong", isMissing);
  place.querySelector(".error")?.remove();
  const help = place.querySelector(".help")?.id || "";
  field.removeAttribute("aria-invalid");
  field.setAttribute("aria-describedby", help);
  if (!isMissing) return;
  const message = element("p", { className: "error", textContent: text("fieldRequired") });
  message.id = `${field.id}_missing`;
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-describedby", `${help} ${message.id}`.trim());
  place.append(message);
}
