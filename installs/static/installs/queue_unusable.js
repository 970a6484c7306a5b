// A photograph that the server cannot take at all, such as a file that is no picture: it stays on this
// phone until its person has saved it elsewhere, or says in words why it may go.

import { element } from "./marks.js";
import { text } from "./texts.js";

// Numbers of those that were saved elsewhere since this page was opened.
const saved = new Set();

/** Elements that let it go; `actions`: giveUp(photo, words), correcting(begins). */
export function waysToLetGo(photo, actions) {
  const giveUp = (words) => actions.giveUp(photo, words);
  const why = element("p", { className: "quiet", textContent: text("unusablePhoto") });
  return [why, saveElsewhere(photo, giveUp), inWords(photo, giveUp, actions.correcting)];
}

/** Only once it was saved can it be taken off this phone. */
function saveElsewhere(photo, giveUp) {
  const actions = element("div", { className: "actions" });
  const href = URL.createObjectURL(photo.image);
  const save = element("a", {
    href, download: photo.file_name, className: "button second", textContent: text("saveFile"),
  });
  const remove = element("button", {
    type: "button", className: "second", textContent: text("removeSaved"),
    hidden: !saved.has(photo.number),
  });
  save.addEventListener("click", () => {
    saved.add(photo.number);
    remove.hidden = false;
  });
  remove.addEventListener("click", () => giveUp(text("savedElsewhere")));
  actions.append(save, remove);
  return actions;
}

function inWords(photo, giveUp, correcting) {
  const whole = element("details");
  whole.addEventListener("toggle", () => correcting(whole.open));
  const form = element("form");
  const id = `why-${photo.number}`;
  const field = element("div", { className: "field" });
  const input = element("input", { id, required: true, minLength: 3, maxLength: 200 });
  field.append(element("label", { htmlFor: id, textContent: text("whyItMayGo") }), input);
  const actions = element("div", { className: "actions" });
  actions.append(element("button", { className: "second", textContent: text("letItGo") }));
  form.append(field, actions);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    giveUp(input.value.trim());
  });
  whole.append(element("summary", { textContent: text("sayWhy") }), form);
  return whole;
}
