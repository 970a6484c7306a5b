// What a form of the fitter's page says, as the body that the server takes.
//
// Fields are named by their path in the body (`readings.0.value`), with data-as="number", "integer",
// "boolean" or "json" where they are no text. A field that is named otherwise has its path as
// data-path. What carries data-not-sent is no part of the body. What is left empty is left out; so is
// an entry of a list in which nothing was filled in, but for what only stands beside (data-beside).

import { text } from "./texts.js";

const LIST_ENTRY = /^(.+?\.\d+)\./;

/** {body, fields, rows}: `fields` finds a field by the JSON pointer that the server gives it,
 * `rows` is what was typed, with the labels of the form. */
export function readSheet(form, submitter = null) {
  const values = sentFields(form, submitter).map((field) => [field, valueOf(field)]);
  const unused = emptyEntries(values);
  const filled = values.filter(
    ([field, value]) => value !== undefined && !unused.has(entryOf(pathOf(field))));
  const tree = new Map();
  for (const [field, value] of filled) plant(tree, pathOf(field).split("."), { field, value });
  const fields = new Map();
  const body = grown(tree, "", fields);
  return { body, fields, rows: filled.filter(([field]) => isVisible(field)).map(rowOf) };
}

/** The body with the texts that a person changed: `rows` as `readSheet` returned them. */
export function bodyWith(body, rows) {
  const changed = structuredClone(body);
  for (const { pointer, as, text: typed } of rows) {
    const parts = pointer.split("/").slice(1).map(unescaped);
    const inner = parts.slice(0, -1).reduce((value, part) => value[part], changed);
    const value = read(as, typed);
    if (value === undefined) delete inner[parts.at(-1)];
    else inner[parts.at(-1)] = value;
  }
  return changed;
}

const pathOf = (field) => field.dataset.path || field.name;

export const isVisible = (field) => field.type !== "hidden" && field.type !== "submit";

function sentFields(form, submitter) {
  return Array.from(form.elements).filter((field) =>
    field.name && field.name !== "csrfmiddlewaretoken" && !("notSent" in field.dataset) &&
    !field.disabled && !["file", "button", "reset", "fieldset"].includes(field.type) &&
    (field.type !== "submit" || field === submitter) && (field.type !== "radio" || field.checked));
}

function valueOf(field) {
  if (field.type === "checkbox") {
    if (field.dataset.as === "boolean") return field.checked;
    return field.checked ? read(field.dataset.as, field.value) : undefined;
  }
  return read(field.dataset.as, field.value);
}

/** A number that is none goes as it was typed, so that the server says what is wrong with it. */
function read(as, content) {
  const typed = content.trim();
  if (typed === "") return undefined;
  if (as === "boolean") return ["true", "on", "yes"].includes(typed);
  if (as === "json") return JSON.parse(typed) ?? undefined;
  if (as !== "number" && as !== "integer") return typed;
  const number = Number(typed.replace(",", "."));
  return Number.isFinite(number) ? number : typed;
}

const entryOf = (name) => (LIST_ENTRY.exec(name) || [])[1];

function emptyEntries(values) {
  const filled = new Map();
  for (const [field, value] of values) {
    const entry = entryOf(pathOf(field));
    if (entry && isVisible(field) && !("beside" in field.dataset)) filled.set(entry, filled.get(entry) || value !== undefined);
  }
  return new Set(Array.from(filled.keys()).filter((entry) => !filled.get(entry)));
}

function plant(tree, [name, ...rest], leaf) {
  if (!rest.length) {
    tree.set(name, leaf);
    return;
  }
  if (!(tree.get(name) instanceof Map)) tree.set(name, new Map());
  plant(tree.get(name), rest, leaf);
}

/** Names that are all numbers make a list, without holes. */
function grown(tree, pointer, fields) {
  const names = Array.from(tree.keys());
  const isList = names.length > 0 && names.every((name) => /^\d+$/.test(name));
  if (isList) names.sort((first, second) => first - second);
  const parts = names.map((name, index) => {
    const part = tree.get(name);
    const here = `${pointer}/${isList ? index : escaped(name)}`;
    if (part instanceof Map) return [name, grown(part, here, fields)];
    fields.set(here, part.field);
    part.field.dataset.pointer = here;
    return [name, part.value];
  });
  return isList ? parts.map(([, value]) => value) : Object.fromEntries(parts);
}

// As RFC 6901 writes names in pointers.
const escaped = (name) => name.replaceAll("~", "~0").replaceAll("/", "~1");
const unescaped = (part) => part.replaceAll("~1", "/").replaceAll("~0", "~");

function rowOf([field]) {
  const unit = field.closest(".with-unit")?.querySelector(".unit")?.textContent.trim() || "";
  return {
    pointer: field.dataset.pointer,
    name: field.name,
    beside: "beside" in field.dataset,
    label: labelOf(field),
    as: field.dataset.as || "",
    text: textOf(field),
    display: displayOf(field),
    options: optionsOf(field),
    unit,
  };
}

/** What there is to choose from, for correcting it later: [value, label] of each; else undefined. */
function optionsOf(field) {
  if (field.tagName === "SELECT") {
    return Array.from(field.options, ({ value, textContent }) => [value, textContent.trim()]);
  }
  if (field.type !== "radio") return undefined;
  return Array.from(field.form.elements)
    .filter((other) => other.type === "radio" && other.name === field.name)
    .map((radio) => [radio.value, labelOf(radio)]);
}

const textOf = (field) =>
  field.type === "checkbox" && field.dataset.as === "boolean" ? String(field.checked) : field.value;

function displayOf(field) {
  if (field.type === "checkbox" && field.dataset.as === "boolean") return text(field.checked ? "yes" : "no");
  if (field.tagName === "SELECT") return field.selectedOptions[0]?.textContent.trim() || field.value;
  if (field.type === "radio") return labelOf(field);
  if (field.type === "checkbox") return "";
  return field.value;
}

export function labelOf(field) {
  const label = field.labels?.[0];
  const own = label ? ownText(label) : field.getAttribute("aria-label") || "";
  return own || field.name.split(".").at(-1).replaceAll("_", " ");
}

/** Without the quiet remarks beside it. */
function ownText(label) {
  const copy = label.cloneNode(true);
  copy.querySelectorAll(".quiet, select, textarea").forEach((part) => part.remove());
  return copy.textContent.replace(/\s+/g, " ").trim();
}
