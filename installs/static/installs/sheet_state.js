// One line on every page of a fitter: what this phone still has to send, and how old the page is.

import { element, mark, timeWords } from "./queue_words.js";

const QUEUE = "/queue/";

/** Keeps the line true. On other pages it stands only while something is not sent. */
export function keepStateShown(queue, always) {
  const line = element("p", { className: "sheet-state", hidden: true });
  line.setAttribute("role", "status");
  document.querySelector(".top").after(line);
  const shown = { sending: 0, remark: "", keptAhead: false };
  const show = async () => write(line, await queue.count(), shown, always);
  queue.store.addEventListener("change", show);
  addEventListener("online", show);
  addEventListener("offline", show);
  show();
  return {
    sending(begins) {
      shown.sending += begins ? 1 : -1;
      show();
    },
    say(remark) {
      shown.remark = remark;
      show();
    },
    keptAhead() {
      shown.keptAhead = true;
      show();
    },
  };
}

function write(line, { waiting, decide }, { sending, remark, keptAhead }, always) {
  const link = element("a", { href: QUEUE, className: "target" });
  const marks = [];
  if (decide) marks.push(mark("look", "!", decide === 1 ? "1 needs a decision" : `${decide} need a decision`));
  if (waiting) marks.push(mark("rest", "…", `${waiting} waiting`));
  if (!marks.length) marks.push(mark("good", "✓", "all sent"));
  marks.forEach((one, index) => link.append(index ? " " : "", one));
  const remarks = [
    sending && waiting ? "sending now" : remark,
    navigator.onLine ? "" : "no network",
    keptWords(),
    keptAhead ? "your fittings are kept for when there is no network" : "",
  ].filter(Boolean);
  const beside = element("span", { className: "quiet", textContent: remarks.join(", ") });
  line.replaceChildren(link, beside);
  line.hidden = !always && !waiting && !decide;
}

/** The worker writes on a page from its store when it was last fetched. */
function keptWords() {
  const { keptAt } = document.body.dataset;
  return keptAt ? `page as it was at ${timeWords(keptAt)}` : "";
}
