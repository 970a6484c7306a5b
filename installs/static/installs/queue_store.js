// The queue on this device, one database for each person. Every change of it is one transaction,
// so that a battery may die at any time.
//
// An operation is `queued` until the server has answered it for good: `done`, `set_aside`, or a
// `conflict` until a person has `decided` it. A queued one may carry the problem for which it was refused.
// From the moment before it is sent until an answer arrives it is in doubt: it may be done
// already. A photograph waits beside the operations, and goes after the one that it comes `after`.

import { idsBefore, isSamePlace } from "./queue_dependencies.js";

const OPERATIONS = "operations";
const PHOTOS = "photos";
const STATE_OF_RESULT = {
  applied: "done", already_applied: "done", conflict: "conflict", set_aside: "set_aside",
};
// What is settled is listed for a while; the newest is needed to know what comes after it.
const MOST_SETTLED = 60;

/** It was sent and no answer arrived. Send again; any repeat is harmless. */
export class InDoubt extends Error {}

export const databaseOf = (person) => `sillwright-queue-${person}`;

/** queued, sending, done, conflict, refused, decided or set_aside. */
export function stateOf(entry) {
  if (entry.state !== "queued") return entry.state;
  if (entry.in_doubt) return "sending";
  return entry.answer ? "refused" : "queued";
}

export const needsDecision = (entry) =>
  entry.state === "conflict" || (entry.state === "queued" && Boolean(entry.answer));

/** Why the server set an entry aside by itself; empty where its person did. */
export const setAsideBecause = ({ state, operation, answer }) =>
  (state === "set_aside" && !operation.set_aside_because && answer?.set_aside_because) || "";

/** Whether it is still to be read again: nothing newer was recorded on this phone at its place. */
export const asksAgain = (entry, entries) => Boolean(setAsideBecause(entry)) && !entry.read_again &&
  !entries.some((later) => later.number > entry.number && later.operation.kind === entry.operation.kind &&
    isSamePlace(later.operation.body, entry.operation.body) && !setAsideBecause(later));

export class Store extends EventTarget {
  constructor(person) {
    super();
    this.person = person;
    this.others = new BroadcastChannel(databaseOf(person));
    this.others.addEventListener("message", () => this.dispatchEvent(new Event("change")));
  }

  /** Put an operation at the end, after those that it depends on (queue_dependencies.js), with its
   * labels for the page and the photographs that belong to it. `judgedBy` are further kinds that it
   * depends on. With it the conflict of `decides` is dealt with, and the photograph `givesUp` goes. */
  async append(operation, { labels = {}, photos = [], decides = "", judgedBy = [], givesUp } = {}) {
    return this.#change(async (operations, photoStore) => {
      const entry = { ...fresh(labels), id: operation.id, operation };
      const whole = { ...operation, ...afterThese(idsBefore(entry, await queuedOf(operations), judgedBy)) };
      await resultOf(operations.add({ ...entry, operation: whole }));
      for (const photo of photos) await resultOf(photoStore.add({ ...fresh(photo), after: whole.id }));
      if (decides) await decide(operations, decides);
      if (givesUp) await resultOf(photoStore.delete(givesUp));
      return whole;
    });
  }

  /** Save a photograph until the record that it is of has arrived. */
  async appendPhoto(photo) {
    return this.#change(async (operations, photos) => {
      const about = Object.values(photo.fields);
      const queued = await queuedOf(operations);
      const last = queued.filter(({ operation }) => about.includes(operation.record)).at(-1);
      await resultOf(photos.add({ ...fresh(photo), after: last ? last.id : null }));
    });
  }

  /** Operations in these states, or all, in the order in which they were done. */
  async all(...states) {
    const entries = await this.#read((operations) => everything(operations));
    return entries.filter(({ state }) => !states.length || states.includes(state));
  }

  async photos() {
    return this.#read((_, photos) => everything(photos));
  }

  async get(identifier) {
    return this.#read((operations) => find(operations, identifier));
  }

  /** The next entries to send, at most so many, after the one numbered `beyond`. From now on they
   * are in doubt. */
  async takeUp(most, beyond) {
    return this.#change(async (operations) => {
      const queued = (await queuedOf(operations)).filter(({ number }) => number > beyond);
      const batch = queued.slice(0, most);
      for (const entry of batch) await resultOf(operations.put({ ...entry, in_doubt: true }));
      return batch;
    });
  }

  /** Save the server's answers. An operation that only waits for another has no problem any more. */
  async receive(results) {
    return this.#change(async (operations) => {
      const answers = new Map(results.map((result) => [result.id, result]));
      for (const entry of await everything(operations)) {
        const result = answers.get(entry.id);
        if (!result || entry.state !== "queued") continue;
        const answer = result.result === "waiting" ? null : result;
        const state = STATE_OF_RESULT[result.result] || "queued";
        await resultOf(operations.put({ ...entry, state, answer, in_doubt: false }));
      }
      await forgetSettled(operations);
    });
  }

  /** Change a queued operation: its body, and its signature. Throws `InDoubt` where it may be done
   * already. */
  async rewrite(identifier, changes, labels = {}) {
    return this.#change(async (operations) => {
      const entry = await certain(operations, identifier);
      const operation = { ...entry.operation, ...changes };
      await resultOf(operations.put({ ...entry, ...labels, operation, answer: null }));
    });
  }

  /** Keep a queued operation as it is: with `changes`, which say why, it is sent once more to be set
   * aside, and stays here. Its photographs go on without it. */
  async setAside(identifier, changes) {
    return this.#change(async (operations, photos) => {
      const entry = await find(operations, identifier);
      if (entry.state !== "queued") return;
      const operation = { ...entry.operation, ...changes };
      await resultOf(operations.put({ ...entry, operation, answer: null }));
      for (const photo of await everything(photos)) {
        if (photo.after !== identifier || photo.in_doubt) continue;
        if (photo.address.includes(operation.record)) {
          await resultOf(photos.put({ ...photo, set_aside_because: reason, after: null }));
          continue;
        }
        const about = ([, value]) => value !== operation.record;
        const fields = Object.fromEntries(Object.entries(photo.fields).filter(about));
        await resultOf(photos.put({ ...photo, fields }));
      }
    });
  }

  /** Keep a photograph as it is, with `reason`: it is sent to where such are kept, whatever it came
   * after. Throws `InDoubt` where it may have arrived. */
  async setPhotoAside(number, reason) {
    return this.#change(async (_, photos) => {
      const photo = await resultOf(photos.get(number));
      if (photo.in_doubt) throw new InDoubt(number);
      await resultOf(photos.put({ ...photo, set_aside_because: reason, after: null, answer: null }));
    });
  }

  /** What the server set aside was read again elsewhere, or never will be. */
  async noteReadAgain(identifier) {
    return this.#change(async (operations) => {
      const entry = await find(operations, identifier);
      await resultOf(operations.put({ ...entry, read_again: true }));
    });
  }

  /** A person has dealt with the conflict. */
  async decide(identifier) {
    return this.#change((operations) => decide(operations, identifier));
  }

  /** Change what is said of a photograph, unless it went meanwhile. */
  async changePhoto(number, changes) {
    return this.#change(async (_, photos) => {
      const photo = await resultOf(photos.get(number));
      if (photo) await resultOf(photos.put({ ...photo, ...changes }));
    });
  }

  async removePhoto(number) {
    return this.#change((_, photos) => resultOf(photos.delete(number)));
  }

  /** Delete everything of this person from this device. */
  async wipe() {
    const database = this.opened && (await this.opened);
    if (database) database.close();
    this.opened = null;
    await resultOf(indexedDB.deleteDatabase(databaseOf(this.person)));
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
    // A refusal below aborts it; the refusal itself says so.
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
  return resultOf(request).then((database) => {
    // Another tab wipes it: let go, and start afresh when it is needed again.
    database.onversionchange = () => {
      database.close();
      store.opened = null;
    };
    return database;
  });
}

function resultOf(request) {
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

const fresh = (content) => ({ ...content, state: "queued", in_doubt: false, answer: null });

const everything = (store) => resultOf(store.getAll());

const queuedOf = async (operations) =>
  (await everything(operations)).filter(({ state }) => state === "queued");

/** How an operation says what comes before it. */
const afterThese = (ids) => ({ after: ids.at(-1) || null, also_after: ids.slice(0, -1) });

async function find(operations, identifier) {
  const entry = await resultOf(operations.index("id").get(identifier));
  if (!entry) throw new Error(`there is no operation ${identifier} here`);
  return entry;
}

async function decide(operations, identifier) {
  const entry = await find(operations, identifier);
  if (entry.state === "conflict") await resultOf(operations.put({ ...entry, state: "decided" }));
}

async function certain(operations, identifier) {
  const entry = await find(operations, identifier);
  if (entry.state !== "queued" || entry.in_doubt) throw new InDoubt(identifier);
  return entry;
}

async function forgetSettled(operations) {
  const entries = await everything(operations);
  const settled = entries.slice(0, -1).filter(({ state }) => ["done", "decided"].includes(state));
  for (const { number } of settled.slice(0, -MOST_SETTLED)) await resultOf(operations.delete(number));
}
