// Under a form: what was recorded with it on this phone and is not on the server yet. What was refused
// or is in conflict is decided here, too.

import { element, stateMark } from "./marks.js";
import { decisionsOn } from "./queue_decisions.js";
import { itemOf } from "./queue_entry.js";
import { asksAgain, needsDecision, stateOf } from "./queue_store.js";
import { reasons } from "./sheet_errors.js";
import { operationLabel, rowsLabel, text, timeLabel } from "./texts.js";

export async function showUnsent(form, queue, place) {
  const list = listAfter(form);
  // Drawing it again would delete what somebody is just typing into it.
  if (list.querySelector("details[open]")) return;
  const entries = await queue.store.all();
  const open = entries.filter((entry) =>
    ["queued", "conflict"].includes(entry.state) || asksAgain(entry, entries));
  const here = [...open, ...(await queue.store.photos())].filter((entry) => entry.place === place);
  list.hidden = here.length === 0;
  const actions = actionsIn(list, queue);
  list.replaceChildren(...here.map((entry) => {
    // What the form itself still shows is corrected in it.
    const isInForm = form.dataset.queued === entry.id;
    const isToDo = needsDecision(entry) || asksAgain(entry, entries);
    return isToDo && !isInForm ? itemOf(entry, actions) : line(entry);
  }));
}

function actionsIn(list, queue) {
  const say = (content) => content && list.append(element("li", { textContent: content }));
  const close = () => list.querySelectorAll("details[open]").forEach((part) => { part.open = false; });
  return { correcting() {}, ...decisionsOn(queue, say, close) };
}

function listAfter(form) {
  const next = form.nextElementSibling;
  if (next?.classList.contains("unsent")) return next;
  const list = element("ul", { className: "unsent plain-list" });
  list.setAttribute("aria-label", text("notSent"));
  form.after(list);
  return list;
}

function line(entry) {
  const item = element("li");
  const recordedAt = (entry.operation || entry.fields).made_at;
  const label = rowsLabel(entry.rows) || entry.file_name || operationLabel(entry.operation?.kind);
  item.append(stateMark(stateOf(entry)), ` ${label} (${timeLabel(recordedAt)})`);
  if (entry.answer?.problem) item.append(`: ${reasons(entry.answer.problem).join(" ")}`);
  return item;
}
