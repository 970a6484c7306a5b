// Signing out deletes the saved pages and the drafts of a person from this device. Unsent records are
// never deleted: whoever has some is asked to send them, or leaves them here until the next time.

import { forgetPages } from "./saved_pages.js";
import { text } from "./texts.js";

const FORMS = 'form[action$="/sign-out/"]';

export function askBeforeSigningOut(queue, send) {
  // Before any other listener, since one of them forgets drafts.
  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (!form.matches(FORMS) || form.dataset.cleared) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    const leaves = await mayLeave(queue, send);
    if (leaves) {
      if (leaves === "nothing") await queue.store.wipe();
      await forgetPages();
      form.dataset.cleared = "yes";
      form.requestSubmit();
    }
  }, { capture: true });
}

/** Whether there is "nothing" to be sent any more, or it is to "keep" here; empty to stay. */
async function mayLeave(queue, send) {
  for (;;) {
    const { waiting, decide } = await queue.count();
    if (waiting + decide === 0) return "nothing";
    const choice = await ask(waiting + decide, decide);
    if (choice === "keep") return "keep";
    if (choice !== "send") return "";
    if (!(await send())) await reportFailure();
  }
}

function ask(unsent, decide) {
  const dialog = dialogOf(text("unsent", { count: unsent }));
  dialog.append(paragraph(text("onlyHere")));
  if (decide) dialog.append(paragraph(text("decideFirst", { count: decide })));
  const actions = actionsOf(dialog);
  actions.append(button("send", text("sendNow")), button("stay", text("staySignedIn"), "second"));
  if (decide) actions.append(link("/queue/", text("decide")));
  actions.append(button("keep", text("keepAndLeave"), "second"));
  return choiceIn(dialog);
}

function reportFailure() {
  const dialog = dialogOf(text("sendFailed"));
  dialog.append(paragraph(text("stillSignedIn")));
  actionsOf(dialog).append(button("stay", text("close")));
  return choiceIn(dialog);
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

const paragraph = (content) =>
  Object.assign(document.createElement("p"), { textContent: content });

const button = (value, label, className = "") =>
  Object.assign(document.createElement("button"), { value, textContent: label, className });

const link = (href, label) =>
  Object.assign(document.createElement("a"), { href, textContent: label, className: "second" });

/** The value of the pressed button; nothing where it was only closed. */
function choiceIn(dialog) {
  document.body.append(dialog);
  dialog.showModal();
  return new Promise((resolve) => {
    dialog.addEventListener("close", () => {
      dialog.remove();
      resolve(dialog.returnValue);
    });
  });
}
