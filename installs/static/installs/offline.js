// Records without a network: a form with data-operation puts what it says into the queue of this
// device, tells so at once, and sends it as soon as it can.
//
// The form has data-operation (the kind), data-record (the record it makes or changes),
// data-base-version (empty where it makes one), and may have data-title (what it is called in the
// queue) and data-then (the page to go to once it is taken; else the page is shown anew). Its
// fields are read by sheet_body.js. A file field with data-photo-to="address of the endpoint" sends
// its photographs after the operation, with data-photo-fields='{"defect": "…"}'; a form with
// data-photos and without data-operation sends photographs alone, and its named fields with them.

import { keepAhead, startKeeping } from "./kept_pages.js";
import { askBeforeSigningOut } from "./leaving.js";
import { NoNetwork, NotTaken, Queue } from "./queue.js";
import { standing } from "./queue_store.js";
import { readSheet } from "./sheet_body.js";
import { clearErrors, showProblem } from "./sheet_errors.js";
import { showNoted } from "./sheet_noted.js";
import { keepStateShown } from "./sheet_state.js";

const FITTERS_PAGES = /^\/(today|fittings|queue)\/|^\/jobs\/[^/]+\/handover\//;
const FORMS = "form[data-operation], form[data-photos]";
// Nobody stands in the wind and waits: after this the form is free for the next entry.
const PATIENCE_MS = 4000;
const NEXT_TRY_MS = 60_000;

const typedInto = new Set();
const person = document.body.dataset.person;
const queue = new Queue(person);
const state = keepStateShown(queue, FITTERS_PAGES.test(location.pathname));

/** Send what waits. Returns whether the service could be asked at all. */
async function send() {
  state.sending(true);
  try {
    const results = await queue.send();
    state.say("");
    if (results.some(({ result }) => result === "applied")) keepAhead();
    return true;
  } catch (failure) {
    if (!(failure instanceof NoNetwork) && !(failure instanceof NotTaken)) throw failure;
    state.say(failure.signInFirst ? "sign in as yourself to send" : "");
    return false;
  } finally {
    state.sending(false);
  }
}

async function sendIfAnythingWaits() {
  const { waiting, decide } = await queue.count();
  if (waiting + decide > 0) await send();
}

async function note(form, submitter) {
  const sheet = readSheet(form, submitter);
  const told = { title: titleOf(form), rows: sheet.rows, place: placeOf(form) };
  const again = form.dataset.queued && (await queue.store.all("queued"))
    .find((kept) => kept.id === form.dataset.queued && standing(kept) === "refused");
  if (again) {
    await queue.mend(again.id, sheet.body, told);
    return { identifier: again.id, sheet };
  }
  const { operation: kind, baseVersion } = form.dataset;
  const record = await recordOf(form);
  const beside = { told, photos: photosOf(form, told) };
  const operation = baseVersion
    ? await queue.change(kind, record, Number(baseVersion), sheet.body, beside)
    : await queue.add(kind, record, sheet.body, beside);
  form.dataset.queued = operation.id;
  return { identifier: operation.id, sheet };
}

/** A page that was kept names the same new record each time it is shown: what is made on it a
 * second time is another record. */
async function recordOf(form) {
  const { record, baseVersion } = form.dataset;
  if (baseVersion) return record;
  const taken = (await queue.store.all()).some((kept) => kept.operation.record === record);
  return taken || !record ? crypto.randomUUID() : record;
}

function photosOf(form, told) {
  return Array.from(form.querySelectorAll("input[type=file][data-photo-to]")).flatMap((field) =>
    Array.from(field.files).map((image) =>
      photo(field.dataset.photoTo, JSON.parse(field.dataset.photoFields || "{}"), image, told)));
}

const photo = (address, fields, image, { title, place }) => ({
  address,
  fields: { id: crypto.randomUUID(), made_at: new Date().toISOString(), ...fields },
  image,
  file_name: image.name,
  title,
  place,
});

/** Returns whether there was a photograph to note. */
async function notePhotos(form) {
  const { body } = readSheet(form);
  const told = { title: titleOf(form), place: placeOf(form) };
  const field = form.querySelector("input[type=file]");
  if (!field.files.length) {
    const errors = [{ pointer: "/image", detail: "choose a photo" }];
    showProblem(form, { errors }, new Map([["/image", field]]));
    return false;
  }
  for (const image of field.files) {
    await queue.store.appendPhoto(photo(form.dataset.photos, body, image, told));
  }
  return true;
}

async function take(form, submitter) {
  clearErrors(form);
  if (!form.dataset.operation) {
    if (!(await notePhotos(form))) return;
    await settle(form, send(), async () => {
      const places = (await queue.store.photos()).map((kept) => kept.place);
      return { standing: places.includes(placeOf(form)) ? "queued" : "done" };
    });
    return;
  }
  const { identifier, sheet } = await note(form, submitter);
  await settle(form, send(), async () => {
    const kept = await queue.store.one(identifier);
    return { standing: standing(kept), answer: kept.answer, sheet };
  });
}

/** What the form shows once it is known, or not known in time, what became of it. */
async function settle(form, sent, outcome) {
  await Promise.race([sent, new Promise((resolve) => setTimeout(resolve, PATIENCE_MS))]);
  const { standing: became, answer, sheet } = await outcome();
  if (became === "refused") {
    form.inert = false;
    showProblem(form, answer.problem, sheet.fields);
    return;
  }
  delete form.dataset.queued;
  forgetTyped(form);
  // What somebody is typing into another form of the page is not taken from them.
  if (became === "done" && !typedInto.size) showAnew(form);
}

/** The form as it came; with that its draft on this device goes, too. */
function forgetTyped(form) {
  form.reset();
  typedInto.delete(form);
}

function showAnew(form) {
  if (form.dataset.then) location.assign(form.dataset.then);
  else location.reload();
}

function titleOf(form) {
  const heading = form.querySelector("legend, h2, h3") || document.querySelector("h1");
  return form.dataset.title || form.getAttribute("aria-label") || heading?.textContent.trim() || "";
}

/** The same form on the same page, whenever that is shown: its page, its kind, what it is fixed to. */
function placeOf(form) {
  const fixed = Array.from(form.elements)
    .filter((field) => field.type === "hidden" && !("notSent" in field.dataset))
    .filter(({ name, dataset }) => name && name !== "csrfmiddlewaretoken" && dataset.as !== "json")
    .map((field) => `${field.name}=${field.value}`);
  return [location.pathname, form.dataset.operation || form.dataset.photos, ...fixed].join(" ");
}

function listenTo(form) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (form.inert) return;
    // Nothing is typed into it before it is known whether what it says has to be mended.
    form.inert = true;
    try {
      await take(form, event.submitter);
    } catch (failure) {
      // This device keeps nothing, such as in a private window: the form goes as it would alone.
      if (!(failure instanceof DOMException)) throw failure;
      form.submit();
    } finally {
      form.inert = false;
    }
  });
  form.addEventListener("input", () => typedInto.add(form));
  const show = () => showNoted(form, queue, placeOf(form));
  queue.store.addEventListener("change", show);
  show();
}

function start() {
  document.querySelectorAll(FORMS).forEach(listenTo);
  askBeforeSigningOut(queue, send);
  if (FITTERS_PAGES.test(location.pathname)) startKeeping(state.keptAhead);
  addEventListener("online", sendIfAnythingWaits);
  document.addEventListener("queue:send", send);
  setInterval(() => document.hidden || sendIfAnythingWaits(), NEXT_TRY_MS);
  sendIfAnythingWaits();
}

// Browsers keep nothing for a page that anybody on the way could change: its forms go as they are.
if (isSecureContext) start();
