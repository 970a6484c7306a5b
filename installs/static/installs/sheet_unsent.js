// Under a form: what was recorded with it on this phone and is not on the server yet.

import { element, stateMark } from "./marks.js";
import { stateOf } from "./queue_store.js";
import { reasons } from "./sheet_errors.js";
import { operationLabel, rowsLabel, text, timeLabel } from "./texts.js";

export async function showUnsent(form, queue, place) {
  const open = [...(await queue.store.all("queued", "conflict")), ...(await queue.store.photos())];
  const here = open.filter((entry) => entry.place === place);
  const list = listAfter(form);
  list.hidden = here.length === 0;
  list.replaceChildren(...here.map(line));
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
