// Under a form: what was noted with it on this phone and is not in the records yet.

import { standing } from "./queue_store.js";
import { element, kindWords, rowWords, stateMark, timeWords } from "./queue_words.js";
import { reasons } from "./sheet_errors.js";

export async function showNoted(form, queue, place) {
  const kept = [...(await queue.store.all("queued", "conflict")), ...(await queue.store.photos())];
  const here = kept.filter((one) => one.place === place);
  const found = listAfter(form);
  found.hidden = here.length === 0;
  found.replaceChildren(...here.map(line));
}

function listAfter(form) {
  const next = form.nextElementSibling;
  if (next?.classList.contains("noted")) return next;
  const list = element("ul", { className: "noted plain-list" });
  list.setAttribute("aria-label", "Noted on this phone, not in the records yet");
  form.after(list);
  return list;
}

function line(kept) {
  const whole = element("li");
  const madeAt = (kept.operation || kept.fields).made_at;
  const words = rowWords(kept.rows) || kept.file_name || kindWords(kept.operation?.kind);
  whole.append(stateMark(standing(kept)), ` ${words} (${timeWords(madeAt)})`);
  if (kept.answer?.problem) whole.append(`: ${reasons(kept.answer.problem).join(" ")}`);
  return whole;
}
