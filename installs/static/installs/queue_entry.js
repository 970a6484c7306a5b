// One entry of the queue's page: what it says, its state, and what a person can do about it.

import { element, stateMark } from "./marks.js";
import { isUnusable } from "./queue_photos.js";
import { setAsideBecause, stateOf } from "./queue_store.js";
import { waysToLetGo } from "./queue_unusable.js";
import { bodyWith } from "./sheet_body.js";
import { reasons } from "./sheet_errors.js";
import { operationLabel, rowsLabel, text, timeLabel } from "./texts.js";

// What a record says of itself rather than of the work.
const OF_THE_RECORD = new Set(["id", "version", "created_at", "updated_at", "created_by", "made_at"]);
const IDENTITY = /^[0-9a-f]{8}-[0-9a-f]{4}-/;
const MOMENT = /^\d{4}-\d\d-\d\dT/;

/** `actions`: correcting(begins), drop(entry), correct(entry, body, rows), giveUp(photo, words),
 * readAgain(entry). */
export function itemOf(entry, actions) {
  const item = element("li");
  const title = entry.title || operationLabel(entry.operation?.kind);
  item.append(element("h3", { textContent: title }));
  const state = element("p");
  const time = timeLabel((entry.operation || entry.fields).made_at);
  state.append(stateMark(stateOf(entry)), ` ${text("savedAt", { time })}`);
  item.append(state);
  const values = rowsLabel(entry.rows) || entry.file_name;
  if (values) item.append(element("p", { textContent: values }));
  const detail = { refused: refusal, conflict, queued: waiting, set_aside: again }[stateOf(entry)];
  if (detail) item.append(...detail(entry, actions));
  return item;
}

function refusal(entry, actions) {
  const list = element("ul");
  for (const reason of reasons(entry.answer.problem)) {
    list.append(element("li", { textContent: reason }));
  }
  const ways = isUnusable(entry)
    ? waysToLetGo(entry, actions)
    : choices(entry, actions, text("correct"), text("setAside"));
  return [list, ...ways, ...linkTo(entry, text("whereRecorded"))];
}

function linkTo(entry, label) {
  const [address] = (entry.place || "").split(" ");
  if (!address || address === location.pathname) return [];
  return [element("a", { href: address, className: "target", textContent: label })];
}

const waiting = (entry, actions) => (entry.operation?.set_aside_because || entry.set_aside_because
  ? [element("p", { className: "quiet", textContent: text("toBeSetAside") })]
  : choices(entry, actions, text("change"), text("setAside")));

/** What the server set aside by itself is to be read again; its person is done with the rest. */
function again(entry, actions) {
  const reason = setAsideBecause(entry);
  if (!reason) return [];
  const done = entry.read_again ? [] : [actionsOf(
    button(text("wasReadAgain"), () => actions.readAgain(entry), "second"))];
  return [element("p", { textContent: reason }), ...linkTo(entry, text("readAgainThere")), ...done];
}

function conflict(entry, actions) {
  const created = entry.operation.base_version === null;
  const meaning = text(created ? "createdTwice" : "changedTwice");
  const rest = created
    ? [actionsOf(button(text("keepTheirs"), () => actions.drop(entry)))]
    : choices(entry, actions, text("applyMine"), text("keepTheirs"));
  return [element("p", { textContent: meaning }), bothSides(entry), ...rest];
}

/** Mine beside theirs, and the other fields of the other person's record. */
function bothSides(entry) {
  const { yours, theirs } = entry.answer;
  const labels = new Map((entry.rows || []).map(({ pointer, label }) => [pointer.slice(1), label]));
  const names = [...new Set([...Object.keys(yours), ...Object.keys(theirs)])];
  const table = element("table", { className: "cards" });
  const head = table.createTHead().insertRow();
  for (const title of ["", text("mine"), text("theirs")]) {
    head.append(element("th", { scope: "col", textContent: title }));
  }
  const body = table.createTBody();
  for (const name of names.filter((name) => isWorthShowing(name, yours[name], theirs[name]))) {
    const row = body.insertRow();
    const label = labels.get(name) || capitalised(name.replaceAll("_", " "));
    row.append(element("th", { scope: "row", textContent: label }));
    row.append(cell(text("mine"), yours[name]), cell(text("theirs"), theirs[name]));
  }
  return table;
}

const capitalised = (label) => label[0].toUpperCase() + label.slice(1);

function isWorthShowing(name, mine, theirs) {
  if (OF_THE_RECORD.has(name) || [mine, theirs].some((value) => IDENTITY.test(String(value)))) return false;
  return [mine, theirs].some((value) => value !== undefined && value !== null && value !== "");
}

function cell(label, value) {
  const whole = element("td", { textContent: display(value) });
  whole.dataset.label = label;
  return whole;
}

function display(value) {
  if (value === undefined || value === null || value === "") return text("empty");
  if (typeof value === "boolean") return text(value ? "yes" : "no");
  if (MOMENT.test(value)) return timeLabel(value);
  return typeof value === "object" ? JSON.stringify(value) : String(value);
}

function choices(entry, actions, correctLabel, dropLabel) {
  const drop = button(dropLabel, () => actions.drop(entry), "second");
  if (!entry.rows?.length) return [actionsOf(drop)];
  return [correctionOf(entry, actions, correctLabel), actionsOf(drop)];
}

function correctionOf(entry, actions, label) {
  const whole = element("details");
  const form = element("form");
  const fields = entry.rows.map((row, index) => fieldOf(row, `correct-${entry.id}-${index}`));
  const fieldset = element("div", { className: "fields" });
  fieldset.append(...fields.map(({ place }) => place));
  form.append(fieldset, actionsOf(element("button", { textContent: label })));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const rows = entry.rows.map((row, index) => ({ ...row, ...fields[index].read() }));
    actions.correct(entry, bodyWith(entry.operation.body, rows), rows);
  });
  whole.addEventListener("toggle", () => actions.correcting(whole.open));
  whole.append(element("summary", { textContent: label }), form);
  return whole;
}

/** A field like the one it was first typed into; `read` gives {text, display}. */
function fieldOf(row, id) {
  const place = element("div", { className: "field" });
  const input = inputOf(row, id);
  const beside = element("div", { className: "with-unit" });
  beside.append(input);
  if (row.unit) beside.append(element("span", { className: "unit", textContent: row.unit }));
  place.append(element("label", { htmlFor: id, textContent: row.label }), beside);
  const read = () => ({ text: input.value, display: input.selectedOptions?.[0].textContent || input.value });
  return { place, read };
}

function inputOf(row, id) {
  const options = row.as === "boolean" ? [["true", text("yes")], ["false", text("no")]] : row.options;
  if (!options) {
    const inputMode = row.as === "number" ? "decimal" : row.as === "integer" ? "numeric" : "text";
    return element("input", { id, value: row.text, inputMode });
  }
  const choice = element("select", { id });
  for (const [value, label] of options) choice.add(new Option(label, value));
  choice.value = row.text;
  return choice;
}

function actionsOf(...buttons) {
  const whole = element("div", { className: "actions" });
  whole.append(...buttons);
  return whole;
}

function button(label, press, className = "") {
  const control = element("button", { type: "button", textContent: label, className });
  control.addEventListener("click", press);
  return control;
}
