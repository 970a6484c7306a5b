// The page of the queue: everything on this phone, what needs a decision first.

import { decisionsOn } from "./queue_decisions.js";
import { itemOf } from "./queue_entry.js";
import { asksAgain, needsDecision } from "./queue_store.js";
import { Queue } from "./queue.js";

const queue = new Queue(document.body.dataset.person);
const page = document.querySelector("[data-queue]");
const message = page.querySelector("[data-message]");
// Drawing it again would delete what somebody is just typing into it.
let isCorrecting = false;

async function show() {
  if (isCorrecting) return;
  const operations = await queue.store.all();
  const entries = [...operations, ...(await queue.store.photos())];
  const again = operations.filter((entry) => asksAgain(entry, operations));
  const settled = entries.filter((entry) =>
    ["done", "decided", "set_aside"].includes(entry.state) && !again.includes(entry));
  const open = entries.filter((entry) => !settled.includes(entry) && !again.includes(entry));
  list("again", again);
  list("decide", open.filter(needsDecision));
  list("waiting", open.filter((entry) => !needsDecision(entry)));
  list("settled", settled.reverse());
  page.querySelector("[data-empty]").hidden = entries.length > 0;
  page.querySelector("[data-send]").hidden = open.length === 0;
  page.hidden = false;
}

function list(part, entries) {
  const whole = page.querySelector(`[data-part="${part}"]`);
  whole.hidden = entries.length === 0;
  whole.querySelector("ol").replaceChildren(...entries.map((entry) => itemOf(entry, actions)));
}

const actions = {
  correcting(begins) {
    isCorrecting = begins;
  },
  ...decisionsOn(queue, say, () => {
    isCorrecting = false;
  }),
};

function say(content) {
  message.textContent = content;
  message.hidden = !content;
  show();
}

const send = () => document.dispatchEvent(new Event("queue:send"));

page.querySelector("[data-send]").addEventListener("click", send);
queue.store.addEventListener("change", show);
show();
