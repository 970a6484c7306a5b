// The sheet of a fitting as it will be once the queue is sent: progress, marks on the map, what is next
// and what is in its way, on every page of the fitter that shows them.
//
// Elements say what they show: data-part (an address below the fitting's, such as junctions/2/),
// data-step (a number), data-phase, data-in-the-way (a number of a step), and data-fold ("done",
// "next", "defects"). Links on the map are known by their address.

import { fold } from "./folding.js";
import { element, mark } from "./marks.js";
import { savedJson } from "./saved_json.js";
import { hasPassed, beforeStep } from "./sheet_gates.js";
import {
  fixingStates, junctionState, memberState, nextStep, sashState, stepState,
} from "./sheet_parts.js";
import { signOf, text } from "./texts.js";

const FITTING = /^\/fittings\/[0-9a-f-]{36}\//;
const UNSETTLED = ["queued", "done"];

const root = (FITTING.exec(location.pathname) || [])[0];

/** Draws the sheet anew whenever the queue changes; a page that the server just made, with nothing
 * waiting, is as it should be. `limits` as of installs/phone/limits.py. */
export function followQueue(store, limits) {
  const show = async () => {
    const entries = await store.all(...UNSETTLED);
    if (!document.body.dataset.savedAt && !entries.some(({ state }) => state === "queued")) return;
    if (root) await drawSheet(entries, await limits);
    else await drawToday(entries);
  };
  store.addEventListener("change", show);
  document.addEventListener("page:refreshed", show);
  show();
}

/** {state, outcomes}; null where this phone has no state of that fitting. */
export async function foldedSheet(fitting, entries, limits) {
  const state = await savedJson(`${fitting}state.json`);
  return state && fold(state, limits, entries);
}

async function drawSheet(entries, limits) {
  const folded = await foldedSheet(root, entries, limits);
  if (!folded) return;
  const { state } = folded;
  drawParts(state);
  drawSteps(state);
  drawProgress(state);
  drawInTheWay(state);
}

/** How far each fitting of a visit has come. */
async function drawToday(entries) {
  for (const place of document.querySelectorAll("[data-fitting]")) {
    const { fitting } = place.dataset;
    const folded = await foldedSheet(fitting, entries, await savedJson(`${fitting}limits.json`));
    if (!folded) continue;
    const next = nextStep(folded.state);
    const progress = counted(folded.state.steps);
    place.textContent = text(next ? "stepsDoneNext" : "stepsDone", { ...progress, ...next });
  }
}

// -- parts ------------------------------------------------------------------------------------

function* partsOf({ junctions, sashes, members, rules }) {
  for (const [number, gap] of Object.entries(junctions)) yield [`junctions/${number}/`, junctionState(gap)];
  for (const [number, sash] of Object.entries(sashes)) yield [`sashes/${number}/`, sashState(sash, rules)];
  for (const [side, member] of Object.entries(members)) {
    yield [`members/${side}/`, memberState(member, rules)];
    for (const [place, shown] of fixingStates(member, rules)) yield [`members/${side}/#at-${place}`, shown];
  }
}

function drawParts(state) {
  for (const [part, shown] of partsOf(state)) {
    drawOnMap(document.querySelector(`.map a.part[href="${root}${part}"]`), shown);
    for (const place of document.querySelectorAll(`[data-part="${part}"]`)) drawMark(place, shown);
  }
}

function drawMark(place, { name, label }) {
  place.replaceChildren(mark(...signOf(name), label));
}

/** The sign is what is written last; its name stands before the colon. */
function drawOnMap(link, { name, label }) {
  if (!link) return;
  const [tone, sign] = signOf(name);
  const [title] = link.getAttribute("aria-label").split(":");
  link.setAttribute("aria-label", `${title}: ${label}`);
  link.setAttribute("class", `part ${tone}`);
  const written = Array.from(link.querySelectorAll("text")).at(-1);
  written.textContent = written.textContent.replace(/\S+$/, sign);
}

// -- steps ------------------------------------------------------------------------------------

function drawSteps(state) {
  const next = nextStep(state);
  for (const step of state.steps) {
    for (const place of document.querySelectorAll(`[data-step="${step.number}"]`)) {
      drawMark(place, stepState(state, step));
      place.closest(".steps > li")?.classList.toggle("next", step === next);
    }
  }
  for (const phase of document.querySelectorAll("[data-phase]")) {
    const steps = state.steps.filter((step) => step.phase === phase.dataset.phase);
    phase.textContent = text("phaseDone", counted(steps));
  }
}

const counted = (steps) => ({ done: steps.filter(hasPassed).length, count: steps.length });

function drawProgress(state) {
  const next = nextStep(state);
  each("done", (place) => { place.textContent = text("doneOf", counted(state.steps)); });
  each("defects", (place) => { place.textContent = text("openDefects", { count: state.defects }); });
  each("next", (link) => {
    if (!next) return;
    if (next.phase !== "handover") link.href = `${root}phases/${next.phase}/#${next.number}`;
    link.textContent = text("nextIs", next);
  });
}

function each(name, show) {
  document.querySelectorAll(`[data-fold="${name}"]`).forEach(show);
}

function drawInTheWay(state) {
  for (const place of document.querySelectorAll("[data-in-the-way]")) {
    const step = state.steps.find(({ number }) => number === Number(place.dataset.inTheWay));
    const isAsked = step && (step === nextStep(state) || !place.closest(".steps"));
    place.replaceChildren(...(isAsked ? blockersOf(beforeStep(state, step)) : []));
  }
}

function blockersOf(blockers) {
  if (!blockers.length) return [];
  const note = element("div", { className: "note warning" });
  const lead = element("p");
  lead.append(element("strong", { textContent: text("inTheWay") }));
  note.append(lead, blockerList(blockers));
  return [note];
}

export function blockerList(blockers) {
  const list = element("ul");
  list.append(...blockers.map(({ code, ...values }) =>
    element("li", { textContent: code === "words" ? values.words : text(code, values) })));
  return list;
}
