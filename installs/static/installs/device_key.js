// The key of this device, one for each person: it signs what that person records here, also without
// a network. Nobody can read the private key, this script included; it stays when its person signs
// out, and opens nothing by itself.

const ALGORITHM = { name: "ECDSA", namedCurve: "P-256" };
const SIGNATURE = { name: "ECDSA", hash: "SHA-256" };
const KEYS = "keys";
const OWN = "own";
const NONCE_BYTES = 16;
const DONE = ["applied", "already_applied", "set_aside"];

/** The key, whether or not the server knows of it: { privateKey, jwk, thumbprint, enrolled }, or
 * nothing. */
export const keyOf = (person) => withKeys(person, "readonly", (keys) => keys.get(OWN));

/** A new key in place of any before. It signs nothing until it is enrolled. */
export async function makeKey(person) {
  const { privateKey, publicKey } = await crypto.subtle.generateKey(ALGORITHM, false, ["sign"]);
  const { kty, crv, x, y } = await crypto.subtle.exportKey("jwk", publicKey);
  const jwk = { kty, crv, x, y };
  const key = { privateKey, jwk, thumbprint: await thumbprintOf(jwk), enrolled: false };
  await withKeys(person, "readwrite", (keys) => keys.put(key, OWN));
  return key;
}

/** The server knows of it: it signs from now on. */
export async function useKey(person) {
  const key = await keyOf(person);
  await withKeys(person, "readwrite", (keys) => keys.put({ ...key, enrolled: true }, OWN));
}

export const forgetKey = (person) =>
  withKeys(person, "readwrite", (keys) => keys.delete(OWN));

/** The signature over an operation as it stands (a compact JWS, RFC 7515); nothing where this device
 * is not enrolled. What only orders the queue is left out of it. */
export async function signatureOver(person, operation) {
  const key = await keyOf(person);
  if (!key?.enrolled) return undefined;
  const { after, also_after, jws, ...said } = operation;
  const nonce = encoded(crypto.getRandomValues(new Uint8Array(NONCE_BYTES)));
  const parts = [{ alg: "ES256", kid: key.thumbprint }, { ...said, nonce }];
  const content = parts.map((part) => encoded(bytesOf(JSON.stringify(part)))).join(".");
  const signature = await crypto.subtle.sign(SIGNATURE, key.privateKey, bytesOf(content));
  return `${content}.${encoded(new Uint8Array(signature))}`;
}

/** Whether a signature of this key was taken for none, since it was ended; then it signs no more. */
export async function heedAnswers(person, operations, answers) {
  const key = await keyOf(person);
  if (!key) return;
  const byThisKey = new Set(operations.filter(({ jws }) => jws && keyIdOf(jws) === key.thumbprint)
    .map(({ id }) => id));
  if (answers.some((answer) => byThisKey.has(answer.id) && isDisowned(answer))) await forgetKey(person);
}

const isDisowned = ({ result, signed_by, problem }) =>
  (DONE.includes(result) && !signed_by) ||
  (problem?.errors || []).some(({ pointer }) => pointer === "/jws");

const keyIdOf = (jws) => JSON.parse(atob(jws.split(".")[0].replace(/-/g, "+").replace(/_/g, "/"))).kid;

/** RFC 7638: the members that the kind of key requires, in the order of their names. */
async function thumbprintOf({ kty, crv, x, y }) {
  const content = bytesOf(JSON.stringify({ crv, kty, x, y }));
  return encoded(new Uint8Array(await crypto.subtle.digest("SHA-256", content)));
}

const bytesOf = (text) => new TextEncoder().encode(text);

/** Base 64 for addresses, without padding. */
function encoded(bytes) {
  let text = "";
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
}

async function withKeys(person, mode, work) {
  const database = await opened(person);
  try {
    const transaction = database.transaction(KEYS, mode, { durability: "strict" });
    const request = work(transaction.objectStore(KEYS));
    return await new Promise((resolve, reject) => {
      transaction.oncomplete = () => resolve(request.result);
      transaction.onerror = transaction.onabort = () => reject(transaction.error);
    });
  } finally {
    database.close();
  }
}

function opened(person) {
  const request = indexedDB.open(`sillwright-key-${person}`, 1);
  request.onupgradeneeded = () => request.result.createObjectStore(KEYS);
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}
