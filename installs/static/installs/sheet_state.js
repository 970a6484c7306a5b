// One line on every page of a fitter: what this phone still has to send, and how old the page is.

import { element, mark } from "./marks.js";
import { text, timeLabel } from "./texts.js";

const QUEUE = "/queue/";

/** Keeps the line up to date. Unless `always`, it is there only while something is not sent. */
export function showState(queue, always) {
  const line = element("p", { className: "sheet-state", hidden: true });
  line.setAttribute("role", "status");
  document.querySelector(".top").after(line);
  const page = { sending: 0, remark: "", isSavedAhead: false };
  const show = async () => write(line, await queue.count(), page, always);
  queue.store.addEventListener("change", show);
  addEventListener("online", show);
  addEventListener("offline", show);
  show();
  return {
    sending(begins) {
      page.sending += begins ? 1 : -1;
      show();
    },
    say(remark) {
      page.remark = remark;
      show();
    },
    savedAhead() {
      page.isSavedAhead = true;
      show();
    },
  };
}

function write(line, { waiting, decide, again }, { sending, remark, isSavedAhead }, always) {
  const link = element("a", { href: QUEUE, className: "target" });
  const marks = [];
  if (decide) marks.push(mark("look", "!", text("toDecide", { count: decide })));
  if (again) marks.push(mark("look", "!", text("toReadAgain", { count: again })));
  if (waiting) marks.push(mark("rest", "…", text("waiting", { count: waiting })));
  if (!marks.length) marks.push(mark("good", "✓", text("allSent")));
  marks.forEach((shape, index) => link.append(index ? " " : "", shape));
  const remarks = [
    sending && waiting ? text("sendingNow") : remark,
    navigator.onLine ? "" : text("noNetwork"),
    ageLabel(),
    isSavedAhead ? text("savedAhead") : "",
  ].filter(Boolean);
  const beside = element("span", { className: "quiet", textContent: remarks.join(", ") });
  line.replaceChildren(link, beside);
  line.hidden = !always && !waiting && !decide && !again;
}

/** The service worker adds to a saved page when it was fetched. */
function ageLabel() {
  const { savedAt } = document.body.dataset;
  return savedAt ? text("pageOf", { time: timeLabel(savedAt) }) : "";
}
