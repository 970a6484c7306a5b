// Warns beside an instrument that a reading with it will not be accepted: before it is read, as far as
// this phone knows.

import { element } from "./marks.js";
import { text } from "./texts.js";

/** Watches every choice of an instrument in `main`; `limits` as of installs/phone/limits.py. */
export function watchInstruments(limits) {
  document.addEventListener("change", ({ target }) => warn(target, limits));
  const warnAll = () => document.querySelectorAll("form select[name=instrument]")
    .forEach((choice) => warn(choice, limits));
  document.addEventListener("page:refreshed", warnAll);
  warnAll();
}

async function warn(choice, limits) {
  if (!choice.matches("form select[name=instrument]")) return;
  const known = await limits;
  const place = choice.closest(".field") || choice.parentElement;
  place.querySelector("[data-instrument-warning]")?.remove();
  const warning = known && choice.value ? warningOn(choice, known) : "";
  if (!warning) return;
  const note = element("p", { className: "error", textContent: warning });
  note.dataset.instrumentWarning = "";
  note.setAttribute("role", "status");
  place.append(note);
}

function warningOn({ value, form }, { instruments, steps, gaps }) {
  const due = instruments[value]?.calibration_due;
  if (due && due < localDay(new Date())) {
    return text("outOfCalibration", { day: new Date(due).toLocaleDateString(document.documentElement.lang) });
  }
  const read = form.dataset.operation === "record_gap" ? gaps : steps[form.elements.step?.value];
  return read && !(value in read.by_instrument) ? text("doesNotFit") : "";
}

/** As ISO 8601 writes a day, of this phone's own time. */
const localDay = (at) =>
  [at.getFullYear(), at.getMonth() + 1, at.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
