// One Save for many forms: a sheet has data-sheet, its rows are forms that record one thing each, as
// they do alone. Save sends those in which something was filled in, in their order, each as an
// operation of its own; what is half filled stays, marked at its fields.
//
// With data-all-rows there is nothing to fill in: Save means all rows, and each keeps its own button.
// What data-shared names is asked for once, above the rows. A row without fields has a box with
// data-row, which says that it is meant; a button with data-tick-all ticks all of them, and one with
// data-fill fills every empty field that has a data-suggested.

import { askOnce, copyShared, refuseMissing, sharedNames } from "./shared_fields.js";

const SHEET = "[data-sheet]";
const LONGEST_WAIT_MS = 4000;

const rowsOf = (sheet) => Array.from(sheet.querySelectorAll("form[data-operation]"));

/** Fields that a person fills in, without those that are asked for once. */
function fieldsOf(form, shared) {
  return Array.from(form.elements).filter((field) =>
    field.type !== "hidden" && ["INPUT", "SELECT", "TEXTAREA"].includes(field.tagName) &&
    !shared.includes(field.name));
}

/** An instrument may have been chosen by this phone: to choose one alone fills in nothing. */
const saysSomething = (field) => !("remembered" in field.dataset) && isChanged(field);

function isChanged(field) {
  if (field.type === "checkbox" || field.type === "radio") return field.checked !== field.defaultChecked;
  if (field.type === "file") return field.files.length > 0;
  if (field.tagName !== "SELECT") return field.value.trim() !== field.defaultValue.trim();
  const own = Array.from(field.options).find((option) => option.defaultSelected) || field.options[0];
  return field.selectedOptions[0] !== own;
}

const isFilledIn = (form, shared) => fieldsOf(form, shared).some(saysSomething);

/** It was recorded on this device and is not sent yet: to mean it again says nothing new. */
function isNoted(row) {
  const list = row.nextElementSibling;
  return Boolean(list?.classList.contains("unsent") && !list.hidden);
}

/** Settled once the row is in the queue of this device, or refused at its fields. */
function recorded(row) {
  return new Promise((resolve) => {
    const stop = new AbortController();
    const done = () => {
      stop.abort();
      resolve();
    };
    for (const outcome of ["sheet:recorded", "sheet:refused"]) {
      document.addEventListener(outcome, ({ detail }) => detail.form === row && done(), {
        signal: stop.signal,
      });
    }
    setTimeout(done, LONGEST_WAIT_MS);
  });
}

/** All rows are recorded before any is sent, so that they go in one request and each answer finds
 * its row. */
async function save(sheet) {
  if (sheet.dataset.isSaving) return;
  sheet.dataset.isSaving = "yes";
  let done;
  const recorded = new Promise((resolve) => { done = resolve; });
  document.dispatchEvent(new CustomEvent("sheet:saving", { detail: { recorded } }));
  try {
    await saveRows(sheet);
  } finally {
    delete sheet.dataset.isSaving;
    done();
  }
  // A form takes no focus while it is being saved.
  await new Promise((resolve) => setTimeout(resolve));
  sheet.querySelector("[aria-invalid]")?.focus();
}

async function saveRows(sheet) {
  const shared = sharedNames(sheet);
  const meant = "allRows" in sheet.dataset;
  const rows = rowsOf(sheet).filter((row) => (meant && !isNoted(row)) || isFilledIn(row, shared));
  if (rows.length && refuseMissing(sheet)) return say(sheet, "left");
  let refused = false;
  for (const row of rows) {
    copyShared(sheet, row);
    const inQueue = recorded(row);
    row.requestSubmit();
    await inQueue;
    if (row.querySelector("[data-refusal]")) refused = true;
  }
  say(sheet, refused ? "left" : rows.length ? "" : "none");
}

function say(sheet, name) {
  const line = sheet.querySelector("[data-save-sheet] p");
  line.textContent = name ? line.dataset[name] : "";
}

function takeUp(sheet) {
  if (sheet.dataset.isTakenUp) return;
  sheet.dataset.isTakenUp = "yes";
  for (const name of sharedNames(sheet)) askOnce(sheet, rowsOf(sheet), name);
  const bar = sheet.querySelector("[data-save-sheet]");
  if (!bar) return;
  const own = "allRows" in sheet.dataset ? [] : rowsOf(sheet).map((row) => row.querySelector(".actions"));
  for (const actions of own) actions.hidden = true;
  for (const part of [bar, ...sheet.querySelectorAll("[data-script-only]")]) part.hidden = false;
  sheet.addEventListener("keydown", goOnToNextRow, true);
  bar.querySelector("button").addEventListener("click", () => save(sheet));
  sheet.addEventListener("click", ({ target }) => {
    if (target.matches("[data-tick-all]")) tickAll(target.closest("[data-rows]") || sheet);
    if (target.matches("[data-fill]")) fillSuggested(target.closest("[data-rows]") || sheet);
  });
}

/** Enter, or Go on a keypad, in the last field of a row leads to the next row, not to its button. */
function goOnToNextRow(event) {
  const { target, currentTarget: sheet } = event;
  if (event.key !== "Enter" || event.isComposing || target.tagName !== "INPUT" || !target.form) return;
  const shared = sharedNames(sheet);
  const within = fieldsOf(target.form, shared);
  if (within.at(-1) !== target) return;
  event.preventDefault();
  event.stopPropagation();
  const rows = rowsOf(sheet);
  const next = rows.slice(rows.indexOf(target.form) + 1).flatMap((row) => fieldsOf(row, shared))[0];
  (next || sheet.querySelector("[data-save-sheet] button")).focus();
}

function tickAll(part) {
  for (const box of part.querySelectorAll("input[data-row]")) {
    if (!box.closest("[hidden]") && !isNoted(box.form)) change(box, () => { box.checked = true; });
  }
}

function fillSuggested(part) {
  for (const field of part.querySelectorAll("input[data-suggested]")) {
    if (!field.value && !isNoted(field.form)) change(field, () => { field.value = field.dataset.suggested; });
  }
}

/** As if it had been typed, so that it becomes part of the draft. */
function change(field, how) {
  how();
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function start() {
  const all = () => document.querySelectorAll(SHEET).forEach(takeUp);
  all();
  document.addEventListener("page:refreshed", all);
}

// A browser without a queue, such as the office's, posts one form after the other.
if (isSecureContext && document.getElementById("offline-texts")) start();
