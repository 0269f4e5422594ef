/*
 * Where the outbox keeps its rows: IndexedDB with strict durability, so that "kept on this tablet" is true
 * even if the battery dies.  A browser may lose the database's handle at any time: it is then opened
 * anew and the step tried once more.  Where there is no IndexedDB, localStorage is the fallback.
 */
const NAME = 'weirbook';
const STORE = 'outbox';
const FALLBACK = 'weirbook.outbox.';
let handle = null;
let lost = () => {};

/** Calls back when the browser has taken the store away (or is about to): what it held must be put anew. */
export function onLostStore(watcher) {
  lost = watcher;
}
function forget() {
  handle = null;
  setTimeout(lost, 0);
}

function open() {
  handle ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: 'seq' });
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error('the database is blocked'));
    request.onsuccess = () => {
      request.result.onclose = forget;
      request.result.onversionchange = () => { request.result.close(); forget(); };
      resolve(request.result);
    };
  });
  return handle;
}

async function once(mode, step) {
  const db = await open();
  return new Promise((resolve, reject) => {
    const tx = db.transaction(STORE, mode, { durability: 'strict' });
    const request = step(tx.objectStore(STORE));
    tx.oncomplete = () => resolve(request.result);
    tx.onerror = () => reject(tx.error);
    tx.onabort = () => reject(tx.error ?? new Error('the step was broken off'));
  });
}

async function twice(mode, step) {
  try {
    return await once(mode, step);
  } catch {
    handle = null;
    return once(mode, step);
  }
}

async function withFallback(step, fallback) {
  try {
    return await step();
  } catch {
    return fallback();
  }
}

const fallbackRows = () => Object.keys(localStorage).filter((k) => k.startsWith(FALLBACK))
  .map((k) => JSON.parse(localStorage.getItem(k)));

/** Resolves once the row is on the tablet's disk; throws when the tablet can keep nothing at all. */
export function put(row) {
  return withFallback(() => twice('readwrite', (store) => store.put(row)),
    () => localStorage.setItem(FALLBACK + row.seq, JSON.stringify(row)));
}
/** Removes a row.  Resolves even when the store is gone: the row is in the record by then.  @param {number} seq of the row @returns {Promise<void>} */
export async function remove(seq) {
  localStorage.removeItem(FALLBACK + seq);
  return withFallback(() => twice('readwrite', (store) => store.delete(seq)), () => undefined);
}
/** All rows in the order in which they were made. */
export async function all() {
  const rows = await withFallback(() => twice('readonly', (store) => store.getAll()), () => []);
  return [...rows, ...fallbackRows()].sort((a, b) => (a.seq < b.seq ? -1 : 1));
}
