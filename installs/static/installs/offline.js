// Records without a network: a form with data-operation puts its values into the queue of this
// device, shows them there at once, and sends them as soon as it can.
//
// The form has data-operation (the kind), data-record (the record it makes or changes),
// data-base-version (empty where it makes one), and may have data-title (what it is called in the
// queue), data-follows (kinds that it is judged by, and so comes after, as JSON), data-then (where to
// go once it is answered) and data-refill (it takes back what was refused). Its fields are read by sheet_body.js. A file field with data-photo-to="address of the endpoint" sends
// its photographs after the operation, with data-photo-fields='{"defect": "…"}'; a form with
// data-photos and without data-operation sends photographs alone, and its named fields with them.
//
// What was recorded is said on the document: `sheet:recorded` once it is in the queue, and
// `sheet:answered` once the server has it, each with {form, place, entry, verdict} in its detail.
// `verdict` is {decision, reasons, act, blockers}; null for what nobody judges, or not here.

import { askBeforeSigningOut } from "./leaving.js";
import { NoNetwork, NotAccepted, Queue } from "./queue.js";
import { stateOf } from "./queue_store.js";
import { saveAhead, startSaving } from "./saved_pages.js";
import { readSheet } from "./sheet_body.js";
import { goOnWithEnter, refuseHalfFilled, refuseImpossible } from "./sheet_completeness.js";
import { clearErrors, showProblem } from "./sheet_errors.js";
import { followQueue } from "./sheet_fold.js";
import { watchInstruments } from "./sheet_instrument.js";
import { forgetOutcome, redraw, showOutcome } from "./sheet_outcome.js";
import { refreshPage } from "./sheet_refresh.js";
import { takeBack } from "./sheet_refill.js";
import { showState } from "./sheet_state.js";
import { showUnsent } from "./sheet_unsent.js";
import { limits, limitsAtHand, verdictOn } from "./sheet_verdict.js";
import { text } from "./texts.js";

// Drawn by the server alone, so that they can be shown anew.
const SHOWN_ANEW = /^\/(today|fittings)\/|^\/jobs\/[^/]+\/handover\//;
// As service-worker.js has them.
const FITTERS_PAGES =
  /^\/(today|fittings|queue|visits)\/|^\/jobs\/[^/]+\/(handover|openings\/\d+\/survey)\//;
const FORMS = "form[data-operation], form[data-photos]";
// Nobody waits out in the wind: after this the form is free for the next entry.
const PATIENCE_MS = 4000;
const APPLIED = ["applied", "already_applied"];
const NEXT_TRY_MS = 60_000;

const typedInto = new Set();
let submitting = null;
// The one sending of all rows of a sheet, once they are recorded; see row_sheet.js.
let together = null;
const person = document.body.dataset.person;
const queue = new Queue(person);
const state = showState(queue, FITTERS_PAGES.test(location.pathname));

/** Send what is waiting. Returns whether the server could be reached at all. */
async function send() {
  state.sending(true);
  try {
    const results = await queue.send();
    const minutes = Math.round(Math.abs(queue.clockOffsetS) / 60);
    state.say(minutes ? text("clockWrong", { minutes }) : "");
    await tellAnswers(results);
    return true;
  } catch (failure) {
    if (!(failure instanceof NoNetwork) && !(failure instanceof NotAccepted)) throw failure;
    state.say(failure.signInFirst ? text("signInToSend") : "");
    return false;
  } finally {
    state.sending(false);
  }
}

/** What is on record by now; of what was not accepted, this phone's verdict does not stand. */
async function tellAnswers(results) {
  const known = new Map((await queue.store.all()).map((entry) => [entry.id, entry]));
  let applied = 0;
  for (const { id, result, verdict } of results.filter((one) => known.has(one.id))) {
    const entry = known.get(id);
    const form = Array.from(forms()).find((one) => placeOf(one) === entry.place);
    applied += APPLIED.includes(result);
    if (APPLIED.includes(result)) tell("answered", form, entry, verdict);
    else if (form && result !== "waiting") forgetOutcome(form, entry.place);
  }
  if (!applied) return;
  saveAhead();
  showAnew();
}

async function sendIfAnythingWaits() {
  const { waiting, decide } = await queue.count();
  if (waiting + decide > 0) await send();
}

async function record(form, submitter) {
  const sheet = readSheet(form, submitter);
  const labels = { title: titleOf(form), rows: sheet.rows, place: placeOf(form) };
  const refused = form.dataset.queued && (await queue.store.all("queued"))
    .find((entry) => entry.id === form.dataset.queued && stateOf(entry) === "refused");
  if (refused) {
    await queue.correct(refused.id, sheet.body, labels);
    return { identifier: refused.id, sheet };
  }
  const { operation: kind, baseVersion } = form.dataset;
  const identity = await identityOf(form);
  const judgedBy = JSON.parse(form.dataset.follows || "[]");
  const beside = { labels, photos: photosOf(form, identity, labels), judgedBy };
  const operation = baseVersion
    ? await queue.change(kind, identity, Number(baseVersion), sheet.body, beside)
    : await queue.add(kind, identity, sheet.body, beside);
  form.dataset.queued = operation.id;
  return { identifier: operation.id, sheet };
}

/** Of the record. A saved page names the same new record each time it is opened: what is made on
 * it a second time is another record. */
async function identityOf(form) {
  const { record, baseVersion } = form.dataset;
  if (baseVersion) return record;
  const taken = (await queue.store.all()).some((entry) => entry.operation.record === record);
  return taken || !record ? crypto.randomUUID() : record;
}

/** What a photograph is of may be the record itself, which the page names as the form does; in the
 * address of the photograph it is "{record}". */
function photosOf(form, identity, labels) {
  const named = (value) => (value === form.dataset.record ? identity : value);
  return Array.from(form.querySelectorAll("input[type=file][data-photo-to]")).flatMap((field) => {
    const fields = Object.entries(JSON.parse(field.dataset.photoFields || "{}"))
      .map(([name, value]) => [name, named(value)]);
    const address = field.dataset.photoTo.replace("{record}", identity);
    return Array.from(field.files).map((image) =>
      photo(address, Object.fromEntries(fields), image, labels));
  });
}

const photo = (address, fields, image, { title, place }) => ({
  address,
  fields: { id: crypto.randomUUID(), made_at: new Date().toISOString(), ...fields },
  image,
  file_name: image.name,
  title,
  place,
});

/** Returns whether there was a photograph to record. */
async function recordPhotos(form) {
  const { body } = readSheet(form);
  const labels = { title: titleOf(form), place: placeOf(form) };
  const field = form.querySelector("input[type=file]");
  if (!field.files.length) {
    const errors = [{ pointer: "/image", detail: text("choosePhoto") }];
    showProblem(form, { errors }, new Map([["/image", field]]));
    return false;
  }
  for (const image of field.files) {
    await queue.store.appendPhoto(photo(form.dataset.photos, body, image, labels));
  }
  return true;
}

async function submit(form, submitter) {
  clearErrors(form);
  if (!form.dataset.operation) {
    if (!(await recordPhotos(form))) return;
    await settle(form, send(), async () => {
      const places = (await queue.store.photos()).map((entry) => entry.place);
      return { state: places.includes(placeOf(form)) ? "queued" : "done" };
    });
    return;
  }
  if (refuseHalfFilled(form) || refuseImpossible(form, await limitsAtHand())) {
    document.dispatchEvent(new CustomEvent("sheet:refused", { detail: { form } }));
    return;
  }
  const { identifier, sheet } = await record(form, submitter);
  const entry = await queue.store.get(identifier);
  tell("recorded", form, entry, await verdictHere(entry));
  await settle(form, together || send(), async () => {
    const answered = await queue.store.get(identifier);
    return { state: stateOf(answered), problem: answered.answer?.problem, sheet };
  });
}

/** Null where this phone cannot judge; whatever the reason is, what was recorded is sent. */
async function verdictHere(entry) {
  try {
    return await verdictOn(entry, await queue.store.all("queued", "done"));
  } catch (failure) {
    console.error(failure);
    return null;
  }
}

/** What the form shows once its outcome is known, or is not known in time. */
async function settle(form, sent, outcome) {
  await Promise.race([sent, new Promise((resolve) => setTimeout(resolve, PATIENCE_MS))]);
  const { state: reached, problem, sheet } = await outcome();
  if (reached === "refused") {
    form.inert = false;
    typedInto.add(form);
    forgetOutcome(form, placeOf(form));
    showProblem(form, problem, sheet.fields);
    return;
  }
  delete form.dataset.queued;
  forgetTyped(form);
  if (!form.dataset.operation && reached === "done") showAnew();
}

function tell(what, form, entry, verdict) {
  if (form) showOutcome(form, entry.place, verdict, { answered: what === "answered" });
  // Only the service can say what comes of it, such as the result of a survey.
  if (what === "answered" && form?.dataset.then) location.assign(form.dataset.then);
  const detail = { form, place: entry?.place, entry, verdict };
  document.dispatchEvent(new CustomEvent(`sheet:${what}`, { detail }));
}

/** The page as it is now. What somebody is typing into it, or signing, is not taken from them. */
async function showAnew() {
  if (!SHOWN_ANEW.test(location.pathname)) return;
  await refreshPage(async () => {
    await Promise.allSettled([submitting]);
    return !typedInto.size;
  });
}

/** The form as it came; with that its draft on this device goes, too. */
function forgetTyped(form) {
  form.reset();
  typedInto.delete(form);
}

function titleOf(form) {
  const heading = form.querySelector("legend, h2, h3") || document.querySelector("h1");
  return form.dataset.title || form.getAttribute("aria-label") || heading?.textContent.trim() || "";
}

/** The same form on the same page, whenever that is opened: its page, kind and fixed values. */
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
    // Nothing is typed into it before it is known whether it has to be corrected.
    form.inert = true;
    try {
      submitting = submit(form, event.submitter);
      await submitting;
    } catch (failure) {
      // This device saves nothing, such as in a private window: the browser posts the form itself.
      if (!(failure instanceof DOMException)) throw failure;
      form.submit();
    } finally {
      form.inert = false;
    }
  });
  form.addEventListener("input", () => forgetOutcome(form, placeOf(form)));
  goOnWithEnter(form);
}

const forms = () => document.querySelectorAll(FORMS);

function showUnsentEverywhere() {
  for (const form of forms()) showUnsent(form, queue, placeOf(form));
}

function takeUp(part = document) {
  for (const form of part.querySelectorAll(FORMS)) {
    listenTo(form);
    redraw(form, placeOf(form));
    takeBack(form, queue, placeOf(form));
  }
  showUnsentEverywhere();
}

/** A saved page is the same for every address that leads to it: what this one asks for is chosen
 * here, as the server does on a page of its own. */
function chooseWhatIsAsked() {
  for (const [name, value] of new URLSearchParams(location.search)) {
    const choice = document.querySelector(`select[name="${CSS.escape(name)}"]`);
    const option = Array.from(choice?.options ?? []).find((offered) => offered.value === value);
    if (option) option.selected = true;
  }
}

function start() {
  if (document.body.dataset.savedAt) chooseWhatIsAsked();
  takeUp();
  document.addEventListener("htmx:afterSwap", ({ target }) => takeUp(target));
  document.addEventListener("input", ({ target }) => typedInto.add(target.closest("form")));
  document.addEventListener("page:refreshed", () => takeUp());
  document.addEventListener("sheet:saving", ({ detail }) => {
    together = detail.recorded.then(send).finally(() => { together = null; });
  });
  queue.store.addEventListener("change", showUnsentEverywhere);
  if (FITTERS_PAGES.test(location.pathname)) followQueue(queue.store, limits);
  watchInstruments(limits);
  askBeforeSigningOut(queue, send);
  if (FITTERS_PAGES.test(location.pathname)) startSaving(state.savedAhead);
  addEventListener("online", sendIfAnythingWaits);
  document.addEventListener("queue:send", send);
  setInterval(() => document.hidden || sendIfAnythingWaits(), NEXT_TRY_MS);
  sendIfAnythingWaits();
}

// Browsers save nothing for a page that anybody on the way could change: they post its forms.
if (isSecureContext) start();
