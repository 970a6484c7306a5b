// Signing out takes everything of a person from this device: the kept pages, the drafts, the queue.
// Nothing that was never sent goes without a word: it is sent first, or dropped on purpose.

import { forgetPages } from "./kept_pages.js";

const FORMS = 'form[action$="/sign-out/"]';

export function askBeforeSigningOut(queue, send) {
  // Before anything else hears of it, since that forgets drafts.
  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (!form.matches(FORMS) || form.dataset.cleared) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (await mayLeave(queue, send)) {
      await queue.store.wipe();
      await forgetPages();
      form.dataset.cleared = "yes";
      form.requestSubmit();
    }
  }, { capture: true });
}

async function mayLeave(queue, send) {
  for (;;) {
    const { waiting, decide } = await queue.count();
    if (waiting + decide === 0) return true;
    const chosen = await ask(waiting + decide, decide);
    if (chosen === "drop") return true;
    if (chosen !== "send") return false;
    if (!(await send())) await tell("It could not be sent now. You are still signed in.");
  }
}

function ask(unsent, decide) {
  const records = unsent === 1 ? "1 record has" : `${unsent} records have`;
  const dialog = dialogOf(`${records} not been sent`);
  dialog.append(paragraph(
    "They are only on this phone. Signing out takes them from it, and nobody can bring them back."));
  if (decide) {
    dialog.append(paragraph(`${decide} of them cannot be sent before you have decided about it.`));
  }
  const actions = actionsOf(dialog);
  actions.append(button("send", "Send now"), button("stay", "Stay signed in", "second"));
  if (decide) actions.append(link("/queue/", "Decide"));
  actions.append(button("drop", `Drop ${unsent === 1 ? "it" : `all ${unsent}`} and sign out`, "second"));
  return shown(dialog);
}

function tell(words) {
  const dialog = dialogOf("Not sent");
  dialog.append(paragraph(words));
  actionsOf(dialog).append(button("stay", "Go on"));
  return shown(dialog);
}

function dialogOf(title) {
  const dialog = document.createElement("dialog");
  const heading = Object.assign(document.createElement("h2"), { id: "leaving", textContent: title });
  dialog.setAttribute("aria-labelledby", heading.id);
  dialog.append(heading);
  return dialog;
}

function actionsOf(dialog) {
  const form = Object.assign(document.createElement("form"), { method: "dialog", className: "actions" });
  dialog.append(form);
  return form;
}

const paragraph = (words) => Object.assign(document.createElement("p"), { textContent: words });

const button = (value, words, className = "") =>
  Object.assign(document.createElement("button"), { value, textContent: words, className });

const link = (href, words) =>
  Object.assign(document.createElement("a"), { href, textContent: words, className: "second" });

/** What was pressed; nothing where it was only closed. */
function shown(dialog) {
  document.body.append(dialog);
  dialog.showModal();
  return new Promise((resolve) => {
    dialog.addEventListener("close", () => {
      dialog.remove();
      resolve(dialog.returnValue);
    });
  });
}
