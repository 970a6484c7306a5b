// The page of the queue: everything on this phone, what needs a decision first.

import { itemOf } from "./queue_entry.js";
import { InDoubt, needsDecision } from "./queue_store.js";
import { Queue } from "./queue.js";
import { text } from "./texts.js";

const queue = new Queue(document.body.dataset.person);
const page = document.querySelector("[data-queue]");
const message = page.querySelector("[data-message]");
// Drawing it again would delete what somebody is just typing into it.
let isCorrecting = false;

async function show() {
  if (isCorrecting) return;
  const entries = [...(await queue.store.all()), ...(await queue.store.photos())];
  const settled = entries.filter(({ state }) => state === "done" || state === "decided");
  const open = entries.filter((entry) => !settled.includes(entry));
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
  drop: (entry) => decide(() =>
    (entry.image ? queue.store.removePhoto(entry.number) : queue.drop(entry.id))),
  correct: (entry, body, rows) => decide(() => queue.correct(entry.id, body, { rows })),
};

async function decide(act) {
  isCorrecting = false;
  try {
    await act();
    say("");
  } catch (failure) {
    if (!(failure instanceof InDoubt)) throw failure;
    say(text("inDoubt"));
  }
  await show();
  send();
}

function say(content) {
  message.textContent = content;
  message.hidden = !content;
}

const send = () => document.dispatchEvent(new Event("queue:send"));

page.querySelector("[data-send]").addEventListener("click", send);
queue.store.addEventListener("change", show);
show();
