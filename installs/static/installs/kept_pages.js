// The pages that this device keeps, for when there is no network: service-worker.js does the work.

const WORKER = "/service-worker.js";
const TODAY = "/today/";
const KEPT = "sillwright-";
const LONGEST_WAIT_MS = 3000;

/** From now on the pages that the fitter opens are kept; today's are fetched ahead, and `told` is
 * called once all of them are there. */
export async function startKeeping(told) {
  navigator.serviceWorker.addEventListener("message", ({ data }) => {
    if (data.told === "kept ahead") told();
  });
  await navigator.serviceWorker.register(WORKER);
  if (location.pathname === TODAY) await keepAhead();
}

/** Fetch the fitter's own pages anew while there is a network. */
export async function keepAhead() {
  const registration = await navigator.serviceWorker.getRegistration();
  if (!registration) return;
  const { active } = await navigator.serviceWorker.ready;
  active.postMessage({ task: "keep ahead" });
}

/** Nothing of what was kept stays on this device. */
export async function forgetPages() {
  const registration = await navigator.serviceWorker.getRegistration();
  if (registration?.active) await askToForget(registration.active);
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(KEPT)).map((name) => caches.delete(name)));
}

/** So that it does not keep what it is just fetching. */
function askToForget(worker) {
  const { port1, port2 } = new MessageChannel();
  const told = new Promise((resolve) => {
    port1.onmessage = resolve;
    setTimeout(resolve, LONGEST_WAIT_MS);
  });
  worker.postMessage({ task: "forget" }, [port2]);
  return told;
}
