// What the server gave this phone of a fitting, to answer by itself: from the device at once, as it is
// saved with the pages (service-worker.js), else from the network.

const PAGES = "sillwright-pages";

/** Null where it is neither saved nor to be had. */
export async function savedJson(address) {
  try {
    const saved = await (await caches.open(PAGES)).match(address, { ignoreVary: true });
    const response = saved || (await fetch(address, { credentials: "same-origin" }));
    return response.ok && !response.redirected ? await response.json() : null;
  } catch {
    return null;
  }
}
