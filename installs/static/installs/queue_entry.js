// One entry of the queue's page: what it says, what became of it, and what a person can do about it.

import { standing } from "./queue_store.js";
import { element, kindWords, rowWords, stateMark, timeWords } from "./queue_words.js";
import { bodyWith } from "./sheet_body.js";
import { reasons } from "./sheet_errors.js";

// What a record says of itself rather than of the work.
const OF_THE_RECORD = new Set(["id", "version", "created_at", "updated_at", "created_by", "made_at"]);
const IDENTITY = /^[0-9a-f]{8}-[0-9a-f]{4}-/;
const MOMENT = /^\d{4}-\d\d-\d\dT/;

/** `actions`: mending(begins), drop(kept), mend(kept, body, rows). */
export function entryOf(kept, actions) {
  const entry = element("li");
  entry.append(element("h3", { textContent: kept.title || kindWords(kept.operation?.kind) }));
  const state = element("p");
  state.append(stateMark(standing(kept)), ` noted ${timeWords((kept.operation || kept.fields).made_at)}`);
  entry.append(state);
  const words = rowWords(kept.rows) || kept.file_name;
  if (words) entry.append(element("p", { textContent: words }));
  const detail = { refused: refusal, conflict, queued: waiting }[standing(kept)];
  if (detail) entry.append(...detail(kept, actions));
  return entry;
}

function refusal(kept, actions) {
  const list = element("ul");
  for (const reason of reasons(kept.answer.problem)) {
    list.append(element("li", { textContent: reason }));
  }
  return [list, ...choices(kept, actions, "Mend it", "Drop it")];
}

const waiting = (kept, actions) => choices(kept, actions, "Change it before it is sent", "Drop it");

function conflict(kept, actions) {
  const created = kept.operation.base_version === null;
  const meaning = created
    ? "The same record was made otherwise meanwhile, so yours was not stored. Note it again on its page if it still has to be changed."
    : "Nothing of yours was stored. Keep what the other person made of it, or do yours once more on top of that.";
  const rest = created
    ? [actionsOf(button("Keep theirs", () => actions.drop(kept)))]
    : choices(kept, actions, "Do mine on top", "Keep theirs");
  return [element("p", { textContent: meaning }), bothSides(kept), ...rest];
}

/** Mine beside theirs, and what else the other person's record says. */
function bothSides(kept) {
  const { yours, theirs } = kept.answer;
  const labels = new Map((kept.rows || []).map(({ pointer, label }) => [pointer.slice(1), label]));
  const names = [...new Set([...Object.keys(yours), ...Object.keys(theirs)])];
  const table = element("table", { className: "cards" });
  const head = table.createTHead().insertRow();
  for (const title of ["", "Yours", "In the records"]) {
    head.append(element("th", { scope: "col", textContent: title }));
  }
  const body = table.createTBody();
  for (const name of names.filter((one) => tellsSomething(one, yours[one], theirs[one]))) {
    const row = body.insertRow();
    const label = labels.get(name) || sentence(name.replaceAll("_", " "));
    row.append(element("th", { scope: "row", textContent: label }));
    row.append(cell("Yours", yours[name]), cell("In the records", theirs[name]));
  }
  return table;
}

const sentence = (words) => words[0].toUpperCase() + words.slice(1);

function tellsSomething(name, mine, theirs) {
  if (OF_THE_RECORD.has(name) || [mine, theirs].some((value) => IDENTITY.test(String(value)))) return false;
  return [mine, theirs].some((value) => value !== undefined && value !== null && value !== "");
}

function cell(label, value) {
  const whole = element("td", { textContent: inWords(value) });
  whole.dataset.label = label;
  return whole;
}

function inWords(value) {
  if (value === undefined || value === null || value === "") return "not said";
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (MOMENT.test(value)) return timeWords(value);
  return typeof value === "object" ? JSON.stringify(value) : String(value);
}

function choices(kept, actions, mendWords, dropWords) {
  const drop = button(dropWords, () => actions.drop(kept), "second");
  if (!kept.rows?.length) return [actionsOf(drop)];
  return [mendingOf(kept, actions, mendWords), actionsOf(drop)];
}

function mendingOf(kept, actions, words) {
  const whole = element("details");
  const form = element("form");
  const fields = kept.rows.map((row, index) => fieldOf(row, `mend-${kept.id}-${index}`));
  const fieldset = element("div", { className: "fields" });
  fieldset.append(...fields.map(({ place }) => place));
  form.append(fieldset, actionsOf(element("button", { textContent: words })));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const rows = kept.rows.map((row, index) => ({ ...row, ...fields[index].read() }));
    actions.mend(kept, bodyWith(kept.operation.body, rows), rows);
  });
  whole.addEventListener("toggle", () => actions.mending(whole.open));
  whole.append(element("summary", { textContent: words }), form);
  return whole;
}

/** A field like the one it was first typed into; `read` gives {text, shown}. */
function fieldOf(row, id) {
  const place = element("div", { className: "field" });
  const input = inputOf(row, id);
  const beside = element("div", { className: "with-unit" });
  beside.append(input);
  if (row.unit) beside.append(element("span", { className: "unit", textContent: row.unit }));
  place.append(element("label", { htmlFor: id, textContent: row.label }), beside);
  const read = () => ({ text: input.value, shown: input.selectedOptions?.[0].textContent || input.value });
  return { place, read };
}

function inputOf(row, id) {
  const options = row.as === "boolean" ? [["true", "yes"], ["false", "no"]] : row.options;
  if (!options) {
    const inputMode = row.as === "number" ? "decimal" : row.as === "integer" ? "numeric" : "text";
    return element("input", { id, value: row.text, inputMode });
  }
  const choice = element("select", { id });
  for (const [value, words] of options) choice.add(new Option(words, value));
  choice.value = row.text;
  return choice;
}

function actionsOf(...buttons) {
  const whole = element("div", { className: "actions" });
  whole.append(...buttons);
  return whole;
}

function button(words, press, className = "") {
  const made = element("button", { type: "button", textContent: words, className });
  made.addEventListener("click", press);
  return made;
}
