// What the service refuses, beside the field that it points at; everything else above the form.

export function clearErrors(form) {
  form.querySelectorAll("[data-refusal]").forEach((told) => told.remove());
  form.querySelectorAll("[aria-invalid]").forEach((field) => {
    field.removeAttribute("aria-invalid");
    field.closest(".field")?.classList.remove("wrong");
  });
}

/** Shows `problem` (RFC 9457) at the form; `fields` are those that `readSheet` found. */
export function showProblem(form, problem, fields) {
  clearErrors(form);
  const above = [];
  let first = null;
  for (const { pointer, detail } of problem.errors || []) {
    const field = fieldAt(pointer, fields);
    if (!field) {
      above.push(detail);
      continue;
    }
    first ||= field;
    showBeside(field, detail);
  }
  const note = noteAbove(above.length || first ? above : reasons(problem), Boolean(first));
  form.prepend(note);
  (first || note).focus();
}

/** Why something was refused, in sentences. */
export function reasons(problem) {
  if (problem.blockers?.length) return problem.blockers.map(({ what, why }) => `${what} (${why})`);
  if (problem.errors?.length) return problem.errors.map(({ detail }) => detail);
  return [problem.detail || "The service gave no reason."];
}

/** The field itself, or the first one inside what it points at. */
function fieldAt(pointer, fields) {
  if (fields.has(pointer)) return fields.get(pointer);
  const within = Array.from(fields.keys()).find((one) => pointer && one.startsWith(`${pointer}/`));
  const field = fields.get(within);
  return field && field.type !== "hidden" ? field : null;
}

function showBeside(field, detail) {
  const told = document.createElement("p");
  told.className = "error";
  told.dataset.refusal = "";
  told.id = `${field.id || field.name}_refusal`;
  told.textContent = detail;
  field.setAttribute("aria-invalid", "true");
  const described = (field.getAttribute("aria-describedby") || "").split(" ");
  const others = described.filter((one) => one && one !== told.id);
  field.setAttribute("aria-describedby", [...others, told.id].join(" "));
  const place = field.closest(".field");
  if (place) place.classList.add("wrong");
  (place || field.parentElement).append(told);
}

function noteAbove(sentences, fieldsMarked) {
  const note = document.createElement("div");
  note.className = "note warning";
  note.dataset.refusal = "";
  note.setAttribute("role", "alert");
  note.tabIndex = -1;
  const start = document.createElement("p");
  start.append(Object.assign(document.createElement("strong"), {
    textContent: "This was not taken into the records. ",
  }));
  start.append(fieldsMarked
    ? "Look at the marked fields, and send it again."
    : "It is still noted on this phone; mend it and send it again, or drop it.");
  note.append(start);
  if (sentences.length) {
    const list = document.createElement("ul");
    for (const sentence of sentences) {
      list.append(Object.assign(document.createElement("li"), { textContent: sentence }));
    }
    note.append(list);
  }
  return note;
}
