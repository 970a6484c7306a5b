// A survey on a phone: slips of tape and thumb are said beside their fields before anything is saved,
// with or without a network.

import { doubts } from "./plausibility.js";

const given = document.getElementById("survey-checks");
const { thresholds, words } = given ? JSON.parse(given.textContent) : {};
const MAY_BE_RIGHT = ["off", "centimetres"];
const form = document.querySelector("form.survey");

/** In the order of the names of its fields: widths_0, widths_1, ... */
function fieldsOf(kind) {
  const own = new RegExp(`^${kind}_\\d+$`);
  return Array.from(form.elements)
    .filter(({ name }) => own.test(name))
    .sort((first, second) => numberOf(first) - numberOf(second));
}

const numberOf = ({ name }) => Number(name.split("_").at(-1));

/** null where nothing that is a number was typed: that is the server's to refuse. */
function valueOf(field) {
  const typed = field.value.trim().replace(",", ".");
  return typed !== "" && Number.isFinite(Number(typed)) ? Number(typed) : null;
}

function doubted() {
  const sizes = Object.fromEntries(["widths", "heights"].map((kind) =>
    [kind, fieldsOf(kind).map(valueOf)]));
  const diagonals = Object.fromEntries(["rising", "falling"].map((name) =>
    [name, valueOf(form.elements[`diagonals_${name}`])]));
  return doubts(sizes, diagonals, thresholds);
}

form?.addEventListener("sheet:check", ({ detail: found }) => {
  const { sure } = form.elements;
  const before = new Set(found.map(({ field }) => field));
  for (const { reading, kind, about } of doubted()) {
    const mayBeRight = MAY_BE_RIGHT.includes(kind);
    if (mayBeRight) document.querySelector("[data-sure]").hidden = false;
    const field = form.elements[reading.replaceAll(".", "_")];
    if (before.has(field) || (sure.checked && mayBeRight)) continue;
    found.push({ field, detail: words[kind].replace("{about}", Math.round(about * 10) / 10) });
  }
});

// On a phone a survey was taken when it is saved, unless somebody says otherwise.
form?.elements.taken_at?.addEventListener("input", ({ target }) => delete target.dataset.notSent);
