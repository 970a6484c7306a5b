// What the server gave this phone of a fitting, to answer by itself: from the device at once, as it is
// saved with the pages (service-worker.js), else from the network.

const PAGES = "sillwright-pages";
// What is saved is fetched ahead with the pages: whoever signs out leaves nothing behind.
const AND_NEVER_SAVED = { credentials: "same-origin", cache: "no-store" };

// A row of a sheet asks for the same as the one before it: it is fetched anew once something of this
// phone is on record.
const known = new Map();
for (const change of ["sheet:answered", "page:refreshed"]) {
  document.addEventListener(change, () => known.clear());
}

/** Null where it is neither saved nor to be had. */
export async function savedJson(address) {
  if (!known.has(address)) known.set(address, read(address));
  const given = await known.get(address);
  if (given === null) known.delete(address);
  return given;
}

async function read(address) {
  try {
    const saved = await (await caches.open(PAGES)).match(address, { ignoreVary: true });
    const response = saved || (await fetch(address, AND_NEVER_SAVED));
    return response.ok && !response.redirected ? await response.json() : null;
  } catch {
    return null;
  }
}
