// Unsent input is kept on this device until the form it belongs to has been taken.
//
// A form with data-draft="name" writes its fields down as they are typed, and finds them again
// after a closed tab, an empty battery or a refusal by the network. A page that shows
// data-draft-done="name" says that the service has taken it; so does a form that is reset. Passwords,
// files and what is hidden are never kept, and signing out forgets everything.
(() => {
  "use strict";
  const PREFIX = "draft:";
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
    let found = false;
    for (const [name, type, own, value] of kept) {
      const chosen = type === "checkbox" || type === "radio";
      const field = fieldsOf(form).find(
        (one) => one.name === name && (!chosen || one.value === own));
      if (!field || valueOf(field) === value) continue;
      if (chosen) field.checked = value;
      else setValue(field, value);
      found = true;
    }
    if (!found) return;
    form.dispatchEvent(new Event("input", { bubbles: true }));
    const told = document.createElement("p");
    told.className = "note";
    told.setAttribute("role", "status");
    told.textContent = "What you typed here before and did not send is filled in again. ";
    const forget = document.createElement("button");
    forget.type = "button";
    forget.className = "plain";
    forget.textContent = "Start afresh";
    forget.addEventListener("click", () => {
      localStorage.removeItem(keyOf(form.dataset.draft));
      location.reload();
    });
    told.append(forget);
    form.prepend(told);
  }

  function forgetAll() {
    Object.keys(localStorage).filter((key) => key.startsWith(PREFIX))
      .forEach((key) => localStorage.removeItem(key));
  }

  document.querySelectorAll("[data-draft-done]").forEach((done) =>
    localStorage.removeItem(keyOf(done.dataset.draftDone)));
  document.querySelectorAll("form[data-draft]").forEach((form) => {
    restore(form);
    form.addEventListener("input", () => remember(form));
    form.addEventListener("reset", () => localStorage.removeItem(keyOf(form.dataset.draft)));
  });
  document.querySelectorAll('form[action$="/sign-out/"]').forEach((form) =>
    form.addEventListener("submit", forgetAll));
})();
