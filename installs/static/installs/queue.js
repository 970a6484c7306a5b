// What a fitter's page uses: it saves what is recorded at once, sends it when it can, and asks when
// it must. The queue is that of one person, and only that person's session sends it.

import { heedAnswers, signatureOver } from "./device_key.js";
import { addressOf, formOf } from "./queue_photos.js";
import { Store, asksAgain, needsDecision } from "./queue_store.js";

// As many as the server takes in one request.
const MOST_OPERATIONS = 200;
const LONGEST_WAIT_MS = 30_000;
// As long as the server keeps of why something was refused.
const LONGEST_REASON = 500;
const SYNC = "/api/v1/sync/";
const DONE = ["applied", "already_applied", "set_aside"];
// What passes between two answers is no correction of the clock.
const SMALLEST_OFFSET_S = 60;

/** No answer came. Nothing is lost; what was on its way is in doubt. */
export class NoNetwork extends Error {}

/** The server accepts no queue now; `status` says why (401 and 403: sign in as yourself). */
export class NotAccepted extends Error {
  constructor(status, problem) {
    super(problem.detail || `status ${status}`);
    this.status = status;
    this.problem = problem;
  }

  get signInFirst() {
    return this.status === 401 || this.status === 403;
  }
}

export class Queue {
  constructor(person) {
    this.person = person;
    this.store = new Store(person);
    // What has to be added to this phone's clock; 0 until the server disagrees with it.
    this.clockOffsetS = 0;
  }

  /** Add that a record was made just now. */
  async add(kind, record, body, beside) {
    return this.#append(operationOf(kind, record, null, body), beside);
  }

  /** Add that a record was changed just now, from the version of the page, or a later one that
   * this queue made or is going to make. */
  async change(kind, record, pageVersion, body, beside) {
    const version = await this.#versionOf(record, pageVersion);
    return this.#append(operationOf(kind, record, version, body), beside);
  }

  /** Signed now, where this phone signs: what was signed is what its person saw. */
  async #append(operation, beside) {
    return this.store.append({ ...operation, jws: await signatureOver(this.person, operation) }, beside);
  }

  /** Send what is queued, in its order; then the photographs whose turn it is. What is refused
   * stops only what depends on it.
   *
   * What was refused goes again as long as anything else is done, as a gate may have opened by that.
   * Returns the last result of each. Throws `NoNetwork` and `NotAccepted`; nothing is lost. Only one page of a person
   * sends at once.
   */
  async send() {
    // What is not even tried is not in doubt, and may still be changed.
    if (!navigator.onLine) throw new NoNetwork();
    return navigator.locks.request(`sillwright-send-${this.person}`, async () => {
      const results = await this.#sendOperations();
      await this.#sendPhotos();
      return results;
    });
  }

  async #sendOperations() {
    const latest = new Map();
    for (;;) {
      const answers = await this.#sendOnce();
      for (const answer of answers) latest.set(answer.id, answer);
      const done = answers.some(({ result }) => DONE.includes(result));
      if (!done && !this.#clockWasCorrected(answers)) return [...latest.values()];
    }
  }

  /** Each operation once. */
  async #sendOnce() {
    const answers = [];
    for (let beyond = 0; ;) {
      const batch = await this.store.takeUp(MOST_OPERATIONS, beyond);
      if (!batch.length) return answers;
      beyond = batch.at(-1).number;
      const operations = batch.map(({ operation }) => operation);
      const results = await this.#sendBatch(operations);
      await this.store.receive(results);
      await heedAnswers(this.person, operations, results);
      answers.push(...results);
    }
  }

  /** Answers for all of them. What is no operation at all is left out and refused here, since for
   * its sake all were sent back. */
  async #sendBatch(operations) {
    const refused = [];
    for (let rest = operations; rest.length;) {
      const answer = await this.#post(SYNC, JSON.stringify(this.#request(rest)), "application/json");
      if (answer.ok) return [...refused, ...(await answer.json()).results];
      const problem = await problemOf(answer);
      const unusable = answersOf(rest, problem);
      if (!unusable.length) throw new NotAccepted(answer.status, problem);
      refused.push(...unusable);
      rest = rest.filter(({ id }) => !unusable.some((one) => one.id === id));
    }
    return refused;
  }

  #request(operations) {
    const sent_at = new Date().toISOString();
    return { operations, sent_at, ...(this.clockOffsetS && { clock_offset_s: this.clockOffsetS }) };
  }

  /** Whether the server told a time that this phone did not know of. */
  #clockWasCorrected(answers) {
    const time = answers.map(({ problem }) => problem?.server_time).filter(Boolean).at(-1);
    if (!time) return false;
    const before = this.clockOffsetS;
    this.clockOffsetS = Math.round((new Date(time) - Date.now()) / 1000);
    return Math.abs(this.clockOffsetS - before) > SMALLEST_OFFSET_S;
  }

  async #sendPhotos() {
    const queued = new Set((await this.store.all("queued")).map((entry) => entry.id));
    for (const photo of await this.store.photos()) {
      if (queued.has(photo.after)) continue;
      // As operations are: once more where the server told a time that this phone did not know of.
      if ((await this.#sendPhoto(photo)) === "clock") await this.#sendPhoto(photo);
    }
  }

  async #sendPhoto(photo) {
    await this.store.changePhoto(photo.number, { in_doubt: true });
    const form = formOf(photo, new Date().toISOString(), this.clockOffsetS);
    const answer = await this.#post(addressOf(photo), form);
    if (answer.ok) return this.store.removePhoto(photo.number);
    const problem = await problemOf(answer);
    const final = ![401, 403, 429].includes(answer.status) && answer.status < 500;
    const result = final ? { result: "refused", problem, status: answer.status } : photo.answer;
    await this.store.changePhoto(photo.number, { in_doubt: false, answer: result });
    if (!final) throw new NotAccepted(answer.status, problem);
    return this.#clockWasCorrected([result]) ? "clock" : "refused";
  }

  /** The session's cookie says who sends, `Sillwright-Person` whose queue it is: the server
   * accepts it only where these are the same. */
  async #post(address, body, type = "") {
    const headers = { "X-CSRFToken": csrfToken(), "Sillwright-Person": this.person };
    if (type) headers["Content-Type"] = type;
    const signal = AbortSignal.timeout(LONGEST_WAIT_MS);
    try {
      return await fetch(address, { method: "POST", credentials: "same-origin", headers, body, signal });
    } catch (failure) {
      throw new NoNetwork(failure.message);
    }
  }

  /** How much is not yet settled, by what it needs; `again` was set aside by the server, and is to
   * be read again. */
  async count() {
    const entries = await this.store.all();
    const open = entries.filter(({ state }) => ["queued", "conflict"].includes(state));
    const photos = await this.store.photos();
    const decide = [...open, ...photos].filter(needsDecision).length;
    const again = entries.filter((entry) => asksAgain(entry, entries)).length;
    return { waiting: open.length + photos.length - decide, decide, again };
  }

  /** Keep an entry as it is, with `reason`, or keep the other version in a conflict. */
  async setAside(identifier, reason) {
    const entry = await this.store.get(identifier);
    if (entry.state === "conflict") return this.store.decide(identifier);
    const set_aside_because = reason.slice(0, LONGEST_REASON);
    const jws = await signatureOver(this.person, { ...entry.operation, set_aside_because });
    return this.store.setAside(identifier, { set_aside_because, jws });
  }

  /** Keep a photograph where such are kept, with `reason`. Throws `InDoubt` for one that may have
   * arrived. */
  async setPhotoAside(number, reason) {
    await this.store.setPhotoAside(number, reason.slice(0, LONGEST_REASON));
  }

  /** Take a photograph that the server cannot take off this phone: what it was of, and why it is
   * not kept, is set aside in its place. `words`: where else it is, or why it may go. */
  async giveUpPhoto(photo, words) {
    const { file_name, fields, title } = photo;
    const body = { ...fields, file_name, title, size: photo.image.size };
    const { detail = "" } = photo.answer?.problem || {};
    const note = operationOf("photo", fields.id, null, body);
    note.set_aside_because = `${detail} ${words}`.trim().slice(0, LONGEST_REASON);
    return this.#append(note, { labels: { title }, givesUp: photo.number });
  }

  /** Do it with another body: a queued operation in its place, a change that is in conflict once
   * more, based on what the other person made of the record. Throws `InDoubt` for what may be done
   * already, and an `Error` for a creation in conflict: the record is there already. */
  async correct(identifier, body, labels = {}) {
    const entry = await this.store.get(identifier);
    const { kind, record, base_version } = entry.operation;
    if (entry.state !== "conflict") {
      const changed = { body, set_aside_because: undefined };
      const jws = await signatureOver(this.person, { ...entry.operation, ...changed });
      return this.store.rewrite(identifier, { ...changed, jws }, labels);
    }
    if (base_version === null) throw new Error(`${record} is recorded already; change that record`);
    const beside = { labels: { ...labelsOf(entry), ...labels }, decides: identifier };
    return this.#append(operationOf(kind, record, entry.answer.version, body), beside);
  }

  async #versionOf(record, pageVersion) {
    const entries = (await this.store.all()).filter(({ operation }) => operation.record === record);
    const answered = entries.map(({ state, answer }) => (state === "done" ? answer.version : 0));
    const queued = entries.filter(({ state }) => state === "queued");
    return Math.max(pageVersion, ...answered) + queued.length;
  }
}

const labelsOf = ({ title, rows, place }) => ({ title, rows, place });

const operationOf = (kind, record, base_version, body) => ({
  id: crypto.randomUUID(),
  kind,
  record,
  base_version,
  made_at: new Date().toISOString(),
  body,
});

/** Answers for operations that are none, by the pointers of the problem. */
function answersOf(operations, problem) {
  const pointers = (problem.errors || []).map((error) => error.pointer.split("/"));
  const pointed = pointers.filter((parts) => parts[1] === "operations" && parts[2]);
  const numbers = new Set(pointed.map((parts) => Number(parts[2])));
  return [...numbers].sort((first, second) => first - second).map((number) => ({
    id: operations[number].id,
    // What the server cannot even keep is kept here.
    result: operations[number].set_aside_because ? "set_aside" : "refused",
    problem: ownPart(problem, `/operations/${number}`),
  }));
}

/** What the problem says of one operation, pointing into its body as its own answer would. */
function ownPart(problem, prefix) {
  const own = problem.errors.filter(({ pointer }) => `${pointer}/`.startsWith(`${prefix}/`));
  const errors = own.map(({ pointer, detail }) => ({
    pointer: pointer.slice(prefix.length).replace(/^\/body/, ""),
    detail,
  }));
  return { ...problem, errors };
}

async function problemOf(answer) {
  try {
    return await answer.json();
  } catch {
    return {};
  }
}

function csrfToken() {
  const match = /(?:^|; )csrftoken=([^;]*)/.exec(document.cookie);
  return match ? decodeURIComponent(match[1]) : "";
}
