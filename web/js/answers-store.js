/*
 * The last answers of the service, kept on the tablet so that a page opened without the network has figures to show, with the time at
 * which they came.  Losing them costs nothing but that; they stand apart from the outbox, whose rows must not be lost.
 */
const NAME = 'weirbook.answers';
const STORE = 'answers';
const AT_MOST = 200;
const DAYS = 3;
let handle = null;

function open() {
  handle ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: 'path' });
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      request.result.onclose = () => { handle = null; };
      request.result.onversionchange = () => { request.result.close(); handle = null; };
      resolve(request.result);
    };
  });
  return handle;
}

async function step(mode, act) {
  try {
    const db = await open();
    return await new Promise((resolve, reject) => {
      const tx = db.transaction(STORE, mode);
      const request = act(tx.objectStore(STORE));
      tx.oncomplete = () => resolve(request?.result);
      tx.onerror = () => reject(tx.error);
      tx.onabort = () => reject(tx.error);
    });
  } catch {
    handle = null; // without a store there are no old answers, no more
    return undefined;
  }
}

/** answer: {path, etag, data, at}, at in milliseconds of this tablet's clock. */
export const keepAnswer = (answer) => step('readwrite', (store) => store.put(answer));
/** Resolves to the answer kept, or undefined. */
export const keptAnswer = (path) => step('readonly', (store) => store.get(path));

/** Drops what is old, and the oldest of what is too many. */
export async function pruneAnswers(now) {
  const all = (await step('readonly', (store) => store.getAll())) ?? [];
  const old = all.sort((a, b) => b.at - a.at).filter((answer, i) => i >= AT_MOST || now - answer.at > DAYS * 864e5);
  if (old.length) await step('readwrite', (store) => { for (const { path } of old) store.delete(path); });
}
