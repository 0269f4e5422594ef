/*
 * The service worker, where there is one (TLS or localhost): opens the page from cold without the network.  It keeps the web files of one
 * build and nothing else; what the API answers never passes through it, so no old answer can look like a new one.
 *
 * A new build waits beside the old one until a person loads it (js/upgrade.js) or the last page is closed: a page never gets files of two builds.
 */
importScripts('/js/sw-files.js'); // self.WEB = {build, files}

const PREFIX = 'weirbook-web-';
const CACHE = PREFIX + self.WEB.build;
const PAGE = '/';

self.addEventListener('install', (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(CACHE);
    await cache.addAll([PAGE, ...self.WEB.files].map((path) => new Request(path, { cache: 'no-cache' })));
  })());
});

self.addEventListener('activate', (event) => {
  event.waitUntil((async () => {
    const names = await caches.keys();
    await Promise.all(names.filter((name) => name.startsWith(PREFIX) && name !== CACHE).map((name) => caches.delete(name)));
    await self.clients.claim();
  })());
});

self.addEventListener('message', (event) => {
  if (event.data === 'take-over') self.skipWaiting();
});

const isOurs = (path) => path.startsWith('/api/') || path === '/api' || path === '/healthz';

async function fromCache(path, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(path)) ?? fetch(request);
}

self.addEventListener('fetch', (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== 'GET' || url.origin !== self.location.origin || isOurs(url.pathname)) return;
  if (event.request.mode === 'navigate') event.respondWith(fromCache(PAGE, event.request));
  else event.respondWith(fromCache(url.pathname, event.request));
});
