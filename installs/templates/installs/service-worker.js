// Saves the own pages of who works on site and their scripts and styles, for when there is no network.
//
// A page comes from the network where that answers soon, else from this device. Nothing of the API
// is ever saved, nor a page of anybody but the person whose pages these are: the first page of
// another person, and the page to sign in, empty the store. A page is saved once, without what its
// address asks for behind a question mark; offline.js sees to that on the saved page.

"use strict";

const SHELL = "sillwright-shell";
const PAGES = "sillwright-pages";
const WHOSE = "/whose-pages";
const TODAY = "{% url "today" %}";
const QUEUE = "{% url "queue" %}";
const FALLBACK = "{% url "offline" %}";
const SIGN_IN = "{% url "sign-in" %}";
const STATIC = "{{ static_address }}";
const OF_A_FITTER =
  /^\/(today|fittings|queue|visits|instructions)\/|^\/jobs\/[^/]+\/(handover|openings\/\d+\/survey)\//;
// What a page of today leads to, with everything below it.
const OWN = new RegExp([
  "^/fittings/[^/]+/", "^/visits/[^/]+/plan/[^/]+/", "^/jobs/[^/]+/handover/",
  "^/jobs/[^/]+/openings/\\d+/survey/[^/]+/",
].join("|"));
// A file that pages of several fittings refer to, saved once: what is behind the address stays.
const LASTING_FILE = /^\/instructions\/[^/]+\/$/;
const PATIENCE_MS = 4000;
// A page says on its body whose it is, JSON first of all, and a file in its header.
const WHOSE_IT_IS = /<body[^>]* data-person="([^"]+)"|^\{"person": ?"([^"]+)"/;
// While the network is that slow, scripts and styles are not waited for either.
const SLOW_FOR_MS = 30_000;
const MOST_PAGES = 400;

let slowUntil = 0;
// Counts how often everything was forgotten: what was requested before that is not saved any more.
let era = 0;

self.addEventListener("install", (event) => {
  self.skipWaiting();
  event.waitUntil(saveFallback());
});
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => {
  if (event.data.task === "save-ahead") event.waitUntil(saveAhead());
  if (event.data.task === "forget") {
    event.waitUntil(forget(SHELL, PAGES).then(() => event.ports[0].postMessage("done")));
  }
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin) return;
  if (pathname.startsWith(STATIC)) event.respondWith(answer(event, SHELL));
  else if (request.headers.has("HX-Request") || request.cache === "no-store") return;
  else if (OF_A_FITTER.test(pathname)) event.respondWith(answer(event, PAGES));
  else if (request.mode === "navigate") event.respondWith(passOn(event, pathname));
});

// -- answering --------------------------------------------------------------------------------

async function answer(event, store) {
  const network = fetchAndSave(event, store);
  event.waitUntil(network.catch(() => {}));
  try {
    return await Promise.race([network, impatience(store)]);
  } catch {
    const saved = await savedAnswer(event.request, store);
    if (saved) return saved;
    return network.catch(() => fallback());
  }
}

async function impatience(store) {
  const known = store === SHELL && Date.now() < slowUntil;
  await new Promise((resolve) => setTimeout(resolve, known ? 0 : PATIENCE_MS));
  slowUntil = Date.now() + SLOW_FOR_MS;
  throw new Error("the network is slow");
}

async function fetchAndSave(event, store) {
  const began = era;
  const { request } = event;
  const response = await fetch(request);
  slowUntil = 0;
  const asked = new URL(request.url);
  const plain = savedUnder(asked);
  event.waitUntil(plain === asked.pathname + asked.search
    ? save(plain, response.clone(), store, began)
    : fetched(plain, store, began).catch(() => {}));
  return response;
}

async function savedAnswer(request, store) {
  const address = savedUnder(new URL(request.url));
  const saved = await (await caches.open(store)).match(address, { ignoreVary: true });
  return saved && store === PAGES ? withItsAge(saved) : saved;
}

/** With the time when it was fetched, so that nobody takes it for the newest. */
async function withItsAge(saved) {
  if (!/html/.test(saved.headers.get("Content-Type"))) return saved;
  const at = new Date(saved.headers.get("Date") || Date.now()).toISOString();
  const text = (await saved.text()).replace("<body", `<body data-saved-at="${at}"`);
  return new Response(text, { status: 200, headers: saved.headers });
}

async function passOn(event, pathname) {
  try {
    const response = await fetch(event.request);
    // Whoever gets this page is not signed in.
    if (pathname === SIGN_IN && response.ok) event.waitUntil(forget(PAGES));
    return response;
  } catch {
    return fallback();
  }
}

async function fallback() {
  const saved = await caches.match(FALLBACK, { ignoreVary: true });
  return saved || new Response("{{ no_page|escapejs }}", {
    status: 503, headers: { "Content-Type": "text/plain; charset=utf-8" },
  });
}

// -- saving -----------------------------------------------------------------------------------

/** Saves a page or file; returns its text where it is one that is saved. */
async function save(address, response, store, began) {
  if (!response.ok || response.redirected) return "";
  const copy = response.clone();
  const text = await response.text();
  if (began !== era || (store === PAGES && !(await isOwn(response, text)))) return "";
  await (await caches.open(store)).put(address, copy);
  return isFile(response) ? "" : text;
}

const isFile = ({ headers }) => /pdf|jpeg/.test(headers.get("Content-Type"));

/** Whether a page is for somebody who is signed in, for whom alone the store is from now on. */
async function isOwn({ headers }, text) {
  const named = (WHOSE_IT_IS.exec(text) || []).slice(1).find(Boolean);
  const person = headers.get("Sillwright-Person") || named;
  if (!person) return false;
  const store = await caches.open(PAGES);
  const before = await store.match(WHOSE);
  if (before && (await before.text()) === person) return true;
  if (before) await forget(PAGES);
  await (await caches.open(PAGES)).put(WHOSE, new Response(person));
  return true;
}

async function forget(...stores) {
  era += 1;
  for (const store of stores) await caches.delete(store);
}

// -- saving ahead ----------------------------------------------------------------------------

let ahead = null;
let wantedAgain = false;

/** Today's page, and every page of the fittings that it leads to. One run at a time; what happened
 * while it ran is fetched by one more. */
async function saveAhead() {
  wantedAgain = Boolean(ahead);
  if (ahead) return ahead;
  ahead = walk().catch(() => {}).finally(() => { ahead = null; });
  await ahead;
  if (wantedAgain) await saveAhead();
}

async function walk() {
  const began = era;
  const today = await fetched(TODAY, PAGES, began);
  const own = new Set(referred(today, TODAY).map(rootOf).filter(Boolean));
  const addresses = [TODAY, QUEUE, ...referred(today, TODAY)];
  const seen = new Set([TODAY]);
  const files = [];
  while (addresses.length && seen.size < MOST_PAGES && began === era) {
    const address = addresses.shift();
    if (seen.has(address) || !isWanted(address, own)) continue;
    seen.add(address);
    if (LASTING_FILE.test(address)) {
      files.push(address);
      continue;
    }
    const store = address.startsWith(STATIC) ? SHELL : PAGES;
    addresses.push(...referred(await fetched(address, store, began), address));
  }
  await saveFallback();
  await saveFiles(files, began);
  if (began !== era || addresses.length) return;
  await forgetOthers(seen);
  await reportSaved();
}

/** After all pages, since they are large; each of them once. */
async function saveFiles(addresses, began) {
  const store = await caches.open(PAGES);
  for (const address of addresses) {
    if (began !== era) return;
    if (!(await store.match(address))) await fetched(address, PAGES, began);
  }
}

/** A fitter about to drive out wants to know. */
async function reportSaved() {
  for (const client of await self.clients.matchAll({ includeUncontrolled: true })) {
    client.postMessage({ event: "saved-ahead" });
  }
}

const rootOf = (address) => (OWN.exec(address) || [])[0];

const isWanted = (address, own) =>
  address.startsWith(STATIC) || address === QUEUE || LASTING_FILE.test(address) || own.has(rootOf(address));

/** Throws where there is no network, which ends the run; what is saved already stays. */
async function fetched(address, store, began) {
  const response = await fetch(address, { credentials: "same-origin" });
  if (response.redirected && new URL(response.url).pathname === SIGN_IN) {
    await forget(PAGES);
    throw new Error("nobody is signed in");
  }
  const type = response.headers.get("Content-Type") || "";
  if (!/html|javascript|json|css|svg|png|jpeg|pdf/.test(type)) return "";
  return save(address, response, store, began);
}

/** The addresses that a page or a script refers to, on this service. */
function referred(text, base) {
  const matches = text.matchAll(/(?:href|src)="([^"]+)"|\bfrom "(\.\/[^"]+)"/g);
  return Array.from(matches, ([, inPage, inScript]) => {
    const address = new URL((inPage || inScript).replaceAll("&amp;", "&"), self.location.origin + base);
    return address.origin === self.location.origin ? savedUnder(address) : "";
  });
}

/** Without what points inside a page, or is asked of it. */
const savedUnder = ({ pathname, search }) =>
  pathname.startsWith(STATIC) ? pathname + search : pathname;

/** Fittings that are not the person's any more go; so do pages that are there no longer. */
async function forgetOthers(seen) {
  const store = await caches.open(PAGES);
  for (const request of await store.keys()) {
    const { pathname, search } = new URL(request.url);
    if (pathname !== WHOSE && !seen.has(pathname + search)) await store.delete(request);
  }
}

/** Asked for by nobody in particular, so that it names nobody. */
async function saveFallback() {
  const response = await fetch(FALLBACK, { credentials: "omit" });
  const text = await save(FALLBACK, response, SHELL, era);
  for (const address of referred(text, FALLBACK).filter((path) => path.startsWith(STATIC))) {
    await save(address, await fetch(address), SHELL, era);
  }
}
