// The pages that this device saves, for when there is no network: service-worker.js does the work.

const WORKER = "/service-worker.js";
const TODAY = "/today/";
const STORES = "sillwright-";
const LONGEST_WAIT_MS = 3000;

/** From now on the pages that the fitter opens are saved; today's are fetched ahead, and
 * `onSavedAhead` is called once all of them are there. */
export async function startSaving(onSavedAhead) {
  navigator.serviceWorker.addEventListener("message", ({ data }) => {
    if (data.event === "saved-ahead") onSavedAhead();
  });
  await navigator.serviceWorker.register(WORKER);
  if (location.pathname === TODAY) await saveAhead();
}

/** Fetch the fitter's own pages anew while there is a network. */
export async function saveAhead() {
  const registration = await navigator.serviceWorker.getRegistration();
  if (!registration) return;
  const { active } = await navigator.serviceWorker.ready;
  active.postMessage({ task: "save-ahead" });
}

/** Remove every saved page from this device. */
export async function forgetPages() {
  const registration = await navigator.serviceWorker.getRegistration();
  if (registration?.active) await askToForget(registration.active);
  const names = (await caches.keys()).filter((name) => name.startsWith(STORES));
  await Promise.all(names.map((name) => caches.delete(name)));
}

/** So that it does not save what it is just fetching. */
function askToForget(worker) {
  const { port1, port2 } = new MessageChannel();
  const forgotten = new Promise((resolve) => {
    port1.onmessage = resolve;
    setTimeout(resolve, LONGEST_WAIT_MS);
  });
  worker.postMessage({ task: "forget" }, [port2]);
  return forgotten;
}
