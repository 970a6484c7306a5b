// The page of the queue: everything on this phone, what needs a decision first.

import { entryOf } from "./queue_entry.js";
import { InDoubt, needsDecision } from "./queue_store.js";
import { Queue } from "./queue.js";

const queue = new Queue(document.body.dataset.person);
const page = document.querySelector("[data-queue]");
const told = page.querySelector("[data-told]");
// Drawing anew under somebody's fingers would take what they are typing.
let isMending = false;

async function show() {
  if (isMending) return;
  const kept = [...(await queue.store.all()), ...(await queue.store.photos())];
  const settled = kept.filter(({ state }) => state === "done" || state === "decided");
  const open = kept.filter((one) => !settled.includes(one));
  list("decide", open.filter(needsDecision));
  list("waiting", open.filter((one) => !needsDecision(one)));
  list("settled", settled.reverse());
  page.querySelector("[data-empty]").hidden = kept.length > 0;
  page.querySelector("[data-send]").hidden = open.length === 0;
  page.hidden = false;
}

function list(part, kept) {
  const whole = page.querySelector(`[data-part="${part}"]`);
  whole.hidden = kept.length === 0;
  whole.querySelector("ol").replaceChildren(...kept.map((one) => entryOf(one, actions)));
}

const actions = {
  mending(begins) {
    isMending = begins;
  },
  drop: (kept) => decided(() =>
    (kept.image ? queue.store.removePhoto(kept.number) : queue.drop(kept.id))),
  mend: (kept, body, rows) => decided(() => queue.mend(kept.id, body, { rows })),
};

async function decided(decide) {
  isMending = false;
  try {
    await decide();
    say("");
  } catch (failure) {
    if (!(failure instanceof InDoubt)) throw failure;
    say("It was sent, and no answer came: it may be in the records already. Send again first.");
  }
  await show();
  send();
}

function say(words) {
  told.textContent = words;
  told.hidden = !words;
}

const send = () => document.dispatchEvent(new Event("queue:send"));

page.querySelector("[data-send]").addEventListener("click", send);
queue.store.addEventListener("change", show);
show();
