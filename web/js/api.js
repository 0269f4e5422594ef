/*
 * The only module that talks to the service: it sends and reads JSON, remembers answers by their ETag, turns
 * problem details into errors, and learns how far the tablet's clock is off.  What must not get lost
 * is the outbox's.
 */
import { keepAnswer, keptAnswer, pruneAnswers } from './answers-store.js';

const TIMEOUT_MS = 8000;
const answers = new Map(); // address -> {etag, data}
const underWay = new Map(); // address -> promise of a GET that two callers share
const early = new Map(); // address -> promise of an answer that a screen will ask for
let asksEarly = false;
const KEEP_AFTER_MS = 1500;
const toKeep = new Set(); // addresses whose newest answer is not on the tablet's disk yet
let keepTimer = 0;
let oldestShown = null; // of the answers given again while the service is away; ms
let offsetS = null;
let reachable = true;
const watchers = new Set();

/** The service answered, and said no.  `errors` are its items {field, code, message, args}. */
export class ProblemError extends Error {
  constructor(status, problem) {
    super(problem.detail ?? problem.title ?? String(status));
    this.status = status;
    this.problem = problem;
    this.errors = problem.errors ?? [];
  }
}
/** No answer, or one that settles nothing (503, 429): the same request may be sent again. */
export class AwayError extends Error {
  constructor(message, retryAfterS = 0) {
    super(message);
    this.retryAfterS = retryAfterS;
  }
}

/** For catch: that the service is away or said no is told by the screen; any other fault is a mistake of ours, and is thrown on. */
export function passKnown(fault) {
  if (!(fault instanceof AwayError || fault instanceof ProblemError)) throw fault;
}

/** Seconds to add to the tablet's clock to get the service's; null while unknown. */
export const clockOffsetS = () => offsetS;
/** Whether the last request was answered.  @returns {boolean} */
export const isReachable = () => reachable;
/** While the service is away: when the oldest figure shown was new, in ms by the service's clock; null when none is old. */
export const shownSince = () => (oldestShown === null ? null : oldestShown + (offsetS ?? 0) * 1000);
/** Calls back when the service comes or goes. */
export function onReach(watcher) {
  watchers.add(watcher);
  return () => watchers.delete(watcher);
}
function setReachable(value) {
  if (value === reachable) return;
  reachable = value;
  if (value) oldestShown = null;
  for (const watcher of watchers) watcher(value);
}

function learnClock(response, sentAt) {
  const date = Date.parse(response.headers.get('Date') ?? '');
  if (Number.isNaN(date)) return;
  const middle = (sentAt + Date.now()) / 2;
  offsetS = Math.round((date + 500 - middle) / 1000); // the header has whole seconds, cut off
}

async function send(method, path, { body, headers = {}, timeoutMs = TIMEOUT_MS } = {}) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), timeoutMs);
  const sentAt = Date.now();
  try {
    const response = await fetch(path, {
      method,
      headers: body === undefined ? headers : { 'Content-Type': 'application/json', 'X-Weirbook': '1', ...headers },
      body: body === undefined ? undefined : JSON.stringify(body),
      signal: stop.signal,
      cache: 'no-store', // our own store below asks with If-None-Match
    });
    learnClock(response, sentAt);
    const text = response.status === 304 ? '' : await response.text();
    setReachable(true);
    return { response, text };
  } catch (fault) {
    setReachable(false);
    throw new AwayError(fault.name === 'AbortError' ? 'no answer in time' : 'not reached');
  } finally {
    clearTimeout(timer);
  }
}

function parse(response, text) {
  const type = response.headers.get('Content-Type') ?? '';
  try {
    return type.includes('json') && text ? JSON.parse(text) : text;
  } catch {
    throw new AwayError('the answer was cut off');
  }
}

const SETTLES_NOTHING = new Set([408, 429, 500, 502, 503, 504]);
/* What an answer of this status comes to: its data, or an error thrown. */
function settle(status, data, retryAfterS = 0) {
  if (status >= 200 && status < 300) return data;
  if (SETTLES_NOTHING.has(status)) throw new AwayError(data?.title ?? String(status), retryAfterS);
  throw new ProblemError(status, typeof data === 'object' ? data : { title: String(data).slice(0, 200) });
}
const read = (response, text) => settle(response.status, parse(response, text), Number(response.headers.get('Retry-After')) || 0);

/*
 * Reads that are asked for in one turn go in one request: on a tablet a request costs more than its answer.
 */
const TOGETHER = 64; // as many as the service takes
let gathered = []; // {path, etag, resolve, reject}

function askTogether(path, etag) {
  return new Promise((resolve, reject) => {
    gathered.push({ path, etag, resolve, reject });
    if (gathered.length === 1) queueMicrotask(sendGathered);
  });
}

function sendGathered() {
  const all = gathered;
  gathered = [];
  for (let i = 0; i < all.length; i += TOGETHER) {
    const asks = all.slice(i, i + TOGETHER);
    (asks.length === 1 ? sendOne(asks[0]) : sendSeveral(asks)).catch((fault) => { for (const ask of asks) ask.reject(fault); });
  }
}

async function sendOne({ path, etag, resolve }) {
  const { response, text } = await send('GET', path, { headers: etag ? { 'If-None-Match': etag } : {} });
  const { status } = response;
  resolve({ status, etag: response.headers.get('ETag'), data: status === 304 ? null : read(response, text) });
}

const askOf = ({ path, etag }) => {
  const url = new URL(path, location.origin);
  return { path: decodeURIComponent(url.pathname), query: Object.fromEntries(url.searchParams), ...(etag ? { etag } : {}) };
};
async function sendSeveral(asks) {
  const { response, text } = await send('POST', '/api/several', { body: { asks: asks.map(askOf) } });
  read(response, text).answers.forEach(({ status, etag, body }, i) => {
    try {
      asks[i].resolve({ status, etag, data: status === 304 ? null : settle(status, body) });
    } catch (fault) {
      asks[i].reject(fault);
    }
  });
}

/**
 * GET; an answer that has not changed costs no body.  Resolves to the same object while it is unchanged.  While
 * the service is away it resolves to the last answer that this tablet had, and the top rule says how old; throws
 * AwayError when there was none.
 */
export function get(path) {
  if (early.has(path)) return early.get(path);
  const shared = underWay.get(path);
  if (shared) return shared;
  const asked = askOrRemember(path).finally(() => { if (underWay.get(path) === asked) underWay.delete(path); });
  underWay.set(path, asked);
  if (asksEarly) early.set(path, asked);
  return asked;
}

/**
 * Runs ask(), which calls get() for what the first screen will ask for, before that screen can be drawn: get() of such an
 * address then gives this answer, until dropEarly() or something is written.
 */
export function askEarly(ask) {
  asksEarly = true;
  ask().catch(() => {}); // the screen hears of it when it asks
  asksEarly = false;
}
/** Forgets what askEarly() asked for: main.js calls it when the screen has drawn. */
export const dropEarly = () => early.clear();
/** What is asked from now on shares no answer that was asked for before: the record moved.  Every write calls it, and main.js at news. */
export function askAnew() {
  early.clear();
  underWay.clear();
}

async function askOrRemember(path) {
  const known = answers.get(path);
  try {
    return await ask(path, known);
  } catch (fault) {
    if (!(fault instanceof AwayError)) throw fault;
    const old = answers.get(path) ?? await keptAnswer(path);
    if (!old) throw fault;
    if (!answers.has(path)) answers.set(path, { ...old, turn: 0 });
    if (!reachable) oldestShown = Math.min(oldestShown ?? Infinity, old.at);
    return old.data;
  }
}

/* One write for the many answers of a screen, when it has drawn. */
function keepSoon(path) {
  toKeep.add(path);
  if (keepTimer) return;
  keepTimer = setTimeout(async () => {
    keepTimer = 0;
    const paths = [...toKeep];
    toKeep.clear();
    for (const p of paths) await keepAnswer({ path: p, ...answers.get(p) });
    await pruneAnswers(Date.now());
  }, KEEP_AFTER_MS);
}

let asks = 0;
async function ask(path, known) {
  asks += 1;
  const turn = asks;
  const { status, etag, data } = await askTogether(path, known?.etag);
  const newest = answers.get(path);
  if (newest?.turn > turn) return newest.data; // asked later, answered sooner
  const fresh = { etag, data, ...(status === 304 ? known : {}), at: Date.now(), turn };
  answers.set(path, fresh);
  keepSoon(path);
  return fresh.data;
}

/** GET of what is worked out for the moment: neither remembered nor kept. */
export async function getOnce(path) {
  const { response, text } = await send('GET', path);
  return read(response, text);
}

/** The last answer of this address, without asking. */
export const lastAnswer = (path) => answers.get(path)?.data;

/** All pages of a list. */
export async function getAll(path) {
  const items = [];
  let after = '';
  do {
    const join = path.includes('?') ? '&' : '?';
    const page = await get(`${path}${join}limit=1000${after ? `&after=${encodeURIComponent(after)}` : ''}`);
    items.push(...page.items);
    after = page.next;
  } while (after);
  return items;
}

/* An answer asked for while the entry is on its way may be one from before it. */
async function write(method, path, options) {
  askAnew();
  try {
    const { response, text } = await send(method, path, options);
    return read(response, text);
  } finally {
    askAnew();
  }
}

/** POST; timeoutMs for what takes longer than an entry, such as an import. */
export const post = (path, body, headers, timeoutMs) => write('POST', path, { body, headers, timeoutMs });

/** PATCH of the version that the reader saw. */
export const patch = (path, body, version) => write('PATCH', path, { body, headers: version ? { 'If-Match': `"${version}"` } : {} });
