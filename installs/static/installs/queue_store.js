// The queue on this device, one database for each person. Every change of it is one transaction,
// so that a battery may die at any time.
//
// An operation is `queued` until the service has answered it for good: `done`, or a `conflict`
// until a person has `decided` it. A queued one may carry the problem for which it was refused.
// From the moment before it is sent until an answer is heard it is in doubt: it may be done
// already. A photograph waits beside the operations, and goes after the one that it comes `after`.

const OPERATIONS = "operations";
const PHOTOS = "photos";
const STATE_OF_RESULT = { applied: "done", already_applied: "done", conflict: "conflict" };
// What is settled is shown for a while; the newest one is needed to know what comes after it.
const SETTLED_KEPT = 60;

/** It was sent and no answer heard. Send again; any repeat is harmless. */
export class InDoubt extends Error {}

export const databaseOf = (person) => `sillwright-queue-${person}`;

/** queued, sending, done, conflict, refused or decided. */
export function standing(kept) {
  if (kept.state !== "queued") return kept.state;
  if (kept.in_doubt) return "sending";
  return kept.answer ? "refused" : "queued";
}

export const needsDecision = (kept) =>
  kept.state === "conflict" || (kept.state === "queued" && Boolean(kept.answer));

export class Store extends EventTarget {
  constructor(person) {
    super();
    this.person = person;
    this.others = new BroadcastChannel(databaseOf(person));
    this.others.addEventListener("message", () => this.dispatchEvent(new Event("change")));
  }

  /** Put an operation at the end, after the last one there is, with what the page says of it and
   * the photographs that belong to it. With it the conflict of `decides` is dealt with. */
  async append(operation, { told = {}, photos = [], decides = "" } = {}) {
    return this.#change(async (operations, kept) => {
      const last = (await everything(operations)).at(-1);
      const whole = { ...operation, after: last ? last.operation.id : null };
      await heard(operations.add({ ...fresh(told), id: whole.id, operation: whole }));
      for (const photo of photos) await heard(kept.add({ ...fresh(photo), after: whole.id }));
      if (decides) await decide(operations, decides);
      return whole;
    });
  }

  /** Keep a photograph until everything noted before it has arrived. */
  async appendPhoto(photo) {
    return this.#change(async (operations, photos) => {
      const last = (await everything(operations)).at(-1);
      await heard(photos.add({ ...fresh(photo), after: last ? last.id : null }));
    });
  }

  /** Operations in these states, or all, in the order in which they were done. */
  async all(...states) {
    const kept = await this.#read((operations) => everything(operations));
    return kept.filter((one) => !states.length || states.includes(one.state));
  }

  async photos() {
    return this.#read((_, photos) => everything(photos));
  }

  async one(identifier) {
    return this.#read((operations) => find(operations, identifier));
  }

  /** The next operations to send, at most so many. From now on they are in doubt. */
  async takeUp(most) {
    return this.#change(async (operations) => {
      const kept = (await everything(operations)).filter(({ state }) => state === "queued");
      const batch = kept.slice(0, most);
      for (const one of batch) await heard(operations.put({ ...one, in_doubt: true }));
      return batch.map(({ operation }) => operation);
    });
  }

  /** Keep the service's answers. One that only waits for another has no problem any more. */
  async hear(results) {
    return this.#change(async (operations) => {
      const answers = new Map(results.map((result) => [result.id, result]));
      for (const kept of await everything(operations)) {
        const result = answers.get(kept.id);
        if (!result || kept.state !== "queued") continue;
        const answer = result.result === "waiting" ? null : result;
        const state = STATE_OF_RESULT[result.result] || "queued";
        await heard(operations.put({ ...kept, state, answer, in_doubt: false }));
      }
      await forgetSettled(operations);
    });
  }

  /** Give a queued operation another body. Throws `InDoubt` where it may be done already. */
  async rewrite(identifier, body, told = {}) {
    return this.#change(async (operations) => {
      const kept = await certain(operations, identifier);
      const operation = { ...kept.operation, body };
      await heard(operations.put({ ...kept, ...told, operation, answer: null }));
    });
  }

  /** Take out a queued operation; what comes after it then comes after the one before it. Throws
   * `InDoubt` where one of them may be done already. */
  async remove(identifier) {
    return this.#change(async (operations, photos) => {
      const { number, operation } = await certain(operations, identifier);
      await heard(operations.delete(number));
      for (const kept of await everything(operations)) {
        if (kept.operation.after !== identifier) continue;
        const later = { ...kept.operation, after: operation.after };
        await heard(operations.put({ ...kept, operation: later }));
      }
      for (const kept of await everything(photos)) {
        if (kept.after === identifier) await heard(photos.put({ ...kept, after: operation.after }));
      }
    });
  }

  /** A person has dealt with the conflict. */
  async decide(identifier) {
    return this.#change((operations) => decide(operations, identifier));
  }

  async notePhoto(photo) {
    return this.#change((_, photos) => heard(photos.put(photo)));
  }

  async removePhoto(number) {
    return this.#change((_, photos) => heard(photos.delete(number)));
  }

  /** Everything of this person goes from this device. */
  async wipe() {
    const database = this.opened && (await this.opened);
    if (database) database.close();
    this.opened = null;
    await heard(indexedDB.deleteDatabase(databaseOf(this.person)));
  }

  async #change(work) {
    const result = await this.#transaction("readwrite", work);
    this.dispatchEvent(new Event("change"));
    this.others.postMessage("changed");
    return result;
  }

  async #read(work) {
    return this.#transaction("readonly", work);
  }

  async #transaction(mode, work) {
    this.opened ||= open(this);
    const database = await this.opened;
    const transaction = database.transaction([OPERATIONS, PHOTOS], mode, { durability: "strict" });
    const finished = new Promise((resolve, reject) => {
      transaction.oncomplete = resolve;
      transaction.onerror = transaction.onabort = () => reject(transaction.error);
    });
    // A refusal below aborts it; that is told by the refusal itself.
    finished.catch(() => {});
    try {
      const stores = [OPERATIONS, PHOTOS].map((name) => transaction.objectStore(name));
      const result = await work(...stores);
      await finished;
      return result;
    } catch (refusal) {
      if (transaction.error === null) abort(transaction);
      throw refusal;
    }
  }
}

function open(store) {
  const request = indexedDB.open(databaseOf(store.person), 1);
  request.onupgradeneeded = () => {
    const keys = { keyPath: "number", autoIncrement: true };
    request.result.createObjectStore(OPERATIONS, keys).createIndex("id", "id", { unique: true });
    request.result.createObjectStore(PHOTOS, keys);
  };
  return heard(request).then((database) => {
    // Another tab wipes it: let go, and start afresh when it is needed again.
    database.onversionchange = () => {
      database.close();
      store.opened = null;
    };
    return database;
  });
}

function heard(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

function abort(transaction) {
  try {
    transaction.abort();
  } catch {
    // It is over already.
  }
}

const fresh = (told) => ({ ...told, state: "queued", in_doubt: false, answer: null });

const everything = (store) => heard(store.getAll());

async function find(operations, identifier) {
  const kept = await heard(operations.index("id").get(identifier));
  if (!kept) throw new Error(`there is no operation ${identifier} here`);
  return kept;
}

async function decide(operations, identifier) {
  const kept = await find(operations, identifier);
  if (kept.state === "conflict") await heard(operations.put({ ...kept, state: "decided" }));
}

/** What comes after it would be sent in another form, too, so that counts as well. */
async function certain(operations, identifier) {
  for (const kept of await everything(operations)) {
    const concerned = [kept.id, kept.operation.after].includes(identifier);
    if (concerned && kept.state === "queued" && kept.in_doubt) throw new InDoubt(kept.id);
  }
  const kept = await find(operations, identifier);
  if (kept.state !== "queued") throw new InDoubt(identifier);
  return kept;
}

async function forgetSettled(operations) {
  const kept = await everything(operations);
  const settled = kept.slice(0, -1).filter((one) => ["done", "decided"].includes(one.state));
  for (const one of settled.slice(0, -SETTLED_KEPT)) await heard(operations.delete(one.number));
}
