// What the server refuses, beside the field that it points at; everything else above the form.

import { labelOf } from "./sheet_body.js";
import { text } from "./texts.js";

export function clearErrors(form) {
  form.querySelectorAll("[data-refusal]").forEach((note) => note.remove());
  form.querySelectorAll("[aria-invalid]").forEach((field) => {
    field.removeAttribute("aria-invalid");
    field.closest(".field, .slot")?.classList.remove("wrong");
  });
}

/** Shows `problem` (RFC 9457) at the form; `fields` are those of `readSheet`. */
export function showProblem(form, problem, fields) {
  clearErrors(form);
  const above = [];
  const marked = [];
  for (const { pointer, detail } of problem.errors || []) {
    const field = fieldAt(pointer, fields);
    if (!field) {
      above.push(detail);
      continue;
    }
    marked.push(field);
    openAround(field);
    showBeside(field, detail);
  }
  const note = noteAbove(above.length || marked.length ? above : reasons(problem), marked);
  form.prepend(note);
  (marked[0] || note).focus();
}

/** Why something was refused, in sentences. */
export function reasons(problem) {
  if (problem.blockers?.length) return problem.blockers.map(({ what, why }) => `${what} (${why})`);
  if (problem.errors?.length) return problem.errors.map(({ detail }) => detail);
  return [problem.detail || text("noReason")];
}

/** The field itself, or the first one inside what it points at. */
function fieldAt(pointer, fields) {
  if (fields.has(pointer)) return fields.get(pointer);
  const within = Array.from(fields.keys()).find((path) => pointer && path.startsWith(`${pointer}/`));
  const field = fields.get(within);
  return field && field.type !== "hidden" ? field : null;
}

function showBeside(field, detail) {
  const message = document.createElement("p");
  message.className = "error";
  message.dataset.refusal = "";
  message.id = `${field.id || field.name}_refusal`;
  message.textContent = detail;
  field.setAttribute("aria-invalid", "true");
  const described = (field.getAttribute("aria-describedby") || "").split(" ");
  const others = described.filter((id) => id && id !== message.id);
  field.setAttribute("aria-describedby", [...others, message.id].join(" "));
  const place = field.closest(".field, .slot");
  if (place) place.classList.add("wrong");
  (place || field.parentElement).append(message);
}

function noteAbove(sentences, marked) {
  const note = document.createElement("div");
  note.className = "note warning";
  note.dataset.refusal = "";
  note.setAttribute("role", "alert");
  note.tabIndex = -1;
  const start = document.createElement("p");
  start.append(Object.assign(document.createElement("strong"), {
    textContent: text("notSaved"),
  }));
  start.append(` ${text(marked.length ? "checkFields" : "stillHere")}`);
  note.append(start);
  const lines = [...sentences, ...marked.map(linkTo)];
  if (lines.length) {
    const list = document.createElement("ul");
    for (const line of lines) {
      const item = document.createElement("li");
      item.append(line);
      list.append(item);
    }
    note.append(list);
  }
  return note;
}

/** To a marked field, whose part of the form may be closed. */
function linkTo(field) {
  const href = `#${field.id}`;
  const link = Object.assign(document.createElement("a"), { href, className: "target", textContent: labelOf(field) });
  link.addEventListener("click", (event) => {
    event.preventDefault();
    openAround(field);
    field.focus();
  });
  return link;
}

function openAround(field) {
  for (let part = field; part; part = part.parentElement) {
    if (part.tagName === "DETAILS") part.open = true;
  }
}
