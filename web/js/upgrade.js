/*
 * The page's own build against the service's, and the service worker that keeps it for opening without the network.  A page left open over an
 * upgrade goes on as it is until a person loads the new one.
 */
import { WEB_BUILD } from './build.js';

const PATIENCE_MS = 15000;
let registration = null;

/** Keeps the web files on the tablet, where the browser allows it: over TLS, or on localhost. */
export async function keepPage() {
  if (!globalThis.isSecureContext || !navigator.serviceWorker) return;
  try {
    registration = await navigator.serviceWorker.register('/sw.js');
    navigator.storage?.persist?.().catch(() => {});
  } catch {
    // without it the page works as long as it stays open
  }
}

/** `web` is what the service says of its web files; undefined when it did not say. */
export const isOldPage = (web) => web !== undefined && web !== WEB_BUILD;

const until = (ready) => new Promise((resolve) => {
  const began = Date.now();
  const look = () => (ready() || Date.now() - began > PATIENCE_MS ? resolve() : setTimeout(look, 100));
  look();
});

/** Loads the new page; what waits in the outbox is on the tablet's disk and goes on from there. */
export async function loadNewPage() {
  registration ??= await navigator.serviceWorker?.getRegistration();
  if (registration) {
    await registration.update().catch(() => {});
    await until(() => registration.waiting || !registration.installing);
    if (registration.waiting) {
      const taken = new Promise((resolve) => { navigator.serviceWorker.addEventListener('controllerchange', resolve, { once: true }); });
      registration.waiting.postMessage('take-over');
      await Promise.race([taken, until(() => false)]);
    }
  }
  location.reload();
}
