// What can only follow something that is not sent yet: a part with data-once-queued is shown once the
// queue of this device holds an operation for that record, and with it the [data-later] around it.

import { Store } from "./queue_store.js";

async function showWhatFollows() {
  const parts = Array.from(document.querySelectorAll("[data-once-queued]"));
  if (!parts.length) return;
  const entries = await new Store(document.body.dataset.person).all("queued", "done");
  const queued = new Set(entries.map(({ operation }) => operation.record));
  for (const part of parts) {
    part.hidden = !queued.has(part.dataset.onceQueued);
    if (!part.hidden) part.closest("[data-later]").hidden = false;
  }
}

if (isSecureContext && document.getElementById("offline-texts")) {
  showWhatFollows();
  for (const event of ["page:refreshed", "sheet:recorded"]) {
    document.addEventListener(event, showWhatFollows);
  }
}
