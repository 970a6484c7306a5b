// Drafts: unsent input is kept on this device until its form is saved.
//
// The fields of a form with data-draft="name" are stored as they are typed, and filled in again
// after a closed tab, an empty battery or a lost connection. An element with data-draft-done="name"
// deletes the draft, and so does resetting the form. Forms of a page that was shown anew
// (`page:refreshed`) are taken up. Passwords, files and hidden fields are never
// kept, and signing out deletes every draft. The texts are on the script's own element.
(() => {
  "use strict";
  const TEXTS = document.currentScript.dataset;
  const PREFIX = "draft:";
  const DRAFTED = "form[data-draft]";
  const person = document.body.dataset.person || "";
  const keyOf = (name) => PREFIX + person + ":" + name;
  const KEPT_OUT = new Set(["password", "file", "hidden", "submit", "button"]);

  const fieldsOf = (form) =>
    Array.from(form.elements).filter((field) => field.name && !KEPT_OUT.has(field.type));

  const valueOf = (field) =>
    field.type === "checkbox" || field.type === "radio" ? field.checked : field.value;

  // What may be chosen can depend on another field; a choice that is not there yet is put there, and
  // the service says whether it is offered.
  function setValue(field, value) {
    field.value = value;
    if (field.value === value || field.tagName !== "SELECT") return;
    field.add(new Option(value, value));
    field.value = value;
  }

  function remember(form) {
    const values = fieldsOf(form).map((field) => [field.name, field.type, field.value, valueOf(field)]);
    localStorage.setItem(keyOf(form.dataset.draft), JSON.stringify(values));
  }

  function restore(form) {
    const kept = JSON.parse(localStorage.getItem(keyOf(form.dataset.draft)) || "null");
    if (!kept || form.querySelector(".error")) return;
    let restored = false;
    for (const [name, type, own, value] of kept) {
      const chosen = type === "checkbox" || type === "radio";
      const field = fieldsOf(form).find(
        (candidate) => candidate.name === name && (!chosen || candidate.value === own));
      if (!field || valueOf(field) === value) continue;
      if (chosen) field.checked = value;
      else setValue(field, value);
      restored = true;
    }
    if (!restored) return;
    form.dispatchEvent(new Event("input", { bubbles: true }));
    const note = document.createElement("p");
    note.className = "note";
    note.setAttribute("role", "status");
    note.textContent = `${TEXTS.restored} `;
    const forget = document.createElement("button");
    forget.type = "button";
    forget.className = "plain";
    forget.textContent = TEXTS.discard;
    forget.addEventListener("click", () => {
      localStorage.removeItem(keyOf(form.dataset.draft));
      location.reload();
    });
    note.append(forget);
    form.prepend(note);
  }

  function forgetAll() {
    Object.keys(localStorage).filter((key) => key.startsWith(PREFIX))
      .forEach((key) => localStorage.removeItem(key));
  }

  document.querySelectorAll("[data-draft-done]").forEach((done) =>
    localStorage.removeItem(keyOf(done.dataset.draftDone)));
  const restoreAll = () => document.querySelectorAll(DRAFTED).forEach(restore);
  restoreAll();
  document.addEventListener("page:refreshed", restoreAll);
  document.addEventListener("input", ({ target }) => {
    const form = target.closest(DRAFTED);
    if (form) remember(form);
  });
  document.addEventListener("reset", ({ target: form }) => {
    if (form.matches(DRAFTED)) localStorage.removeItem(keyOf(form.dataset.draft));
  });
  document.querySelectorAll('form[action$="/sign-out/"]').forEach((form) =>
    form.addEventListener("submit", forgetAll));
})();
