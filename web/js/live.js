/*
 * Learns at once that the record moved.  The service's event stream is held by one tab of this browser, which
 * tells the others; where there is no stream the caller's polling goes on as before.
 *
 * Which tab: the one whose lease in localStorage is fresh (plain http has no Web Locks).  A tab in the background
 * renews late, and one in front takes over; two for a moment do no harm.
 */
const LEASE = 'weirbook.live';
const RENEW_MS = 2000;
const STALE_MS = 5000;
const REFUSED_MS = 60000; // the service holds no more streams: asked again so much later
const me = Math.random().toString(36).slice(2);
const channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel(LEASE) : null;
let stream = null;
let open = false;
let refusedAt = -Infinity;
let told = () => {};

function lease() {
  try {
    return JSON.parse(localStorage.getItem(LEASE)) ?? {};
  } catch {
    return {};
  }
}
function keepLease(value) {
  try {
    localStorage.setItem(LEASE, JSON.stringify(value));
  } catch {
    // without a store each tab has a stream of its own
  }
}
const isFresh = ({ at }) => Date.now() - at < STALE_MS && at <= Date.now() + STALE_MS;
const renew = () => keepLease({ id: me, at: Date.now(), open });

/** Whether a stream of this browser is open, so that polling may be slow. */
export const isLive = () => open || (isFresh(lease()) && lease().open === true);

function tell(news) {
  channel?.postMessage(news);
  told(news);
}

function close() {
  stream?.close();
  stream = null;
  open = false;
}

function openStream() {
  stream = new EventSource('/api/events');
  stream.addEventListener('hello', (event) => {
    open = true;
    renew();
    tell({ all: true, ...JSON.parse(event.data) });
  });
  stream.addEventListener('message', (event) => tell(JSON.parse(event.data)));
  stream.addEventListener('error', () => {
    const wasOpen = open;
    open = false;
    if (stream?.readyState === EventSource.CLOSED) {
      refusedAt = Date.now();
      close();
    }
    renew();
    if (wasOpen) tell({ lost: true });
  });
}

function look() {
  const held = lease();
  if (held.id !== me && isFresh(held)) {
    close();
  } else if (held.id === me || !document.hidden) {
    renew();
    if (!stream && Date.now() - refusedAt > REFUSED_MS) openStream();
  }
}

/**
 * Calls moved({kinds}) when rows of these kinds were written, ({all: true, web}) when a stream has opened and
 * anything may have changed, and ({lost: true}) when it broke.  `web` names the web files of the service.
 */
export function startLive(moved) {
  if (!('EventSource' in globalThis)) return;
  told = moved;
  channel?.addEventListener('message', (event) => told(event.data));
  addEventListener('pagehide', () => {
    close();
    if (lease().id === me) keepLease({});
  });
  addEventListener('pageshow', (event) => { if (event.persisted) look(); });
  document.addEventListener('visibilitychange', () => { if (!document.hidden) look(); });
  setInterval(look, RENEW_MS);
  look();
}
