/*
 * What waits to be sent.  An entry is kept on the tablet before it is sent; on screen it then goes at once
 * by POST with its own key and may be asked about; what could not be sent goes later, in order, as a queue
 * that is never asked.  A row leaves only when the service has answered for its key.
 *
 * A row: {seq, op, kind, key, fields, made_at, offset_s, state, problem, tried}.  States are the words
 * that people read: KEPT, and MENDING; what is in the record is no row any more.
 */
import * as api from './api.js';
import { all, onLostStore, put, remove } from './outbox-store.js';

/** On this tablet, not sent yet. */
export const KEPT = 'kept';
/** In the record. */
export const RECORDED = 'recorded';
/** Refused: a person must mend it, keep it as it is, or give it up. */
export const MENDING = 'mending';
const ASKED = 'asked'; // on screen, waiting for a person's answer
const BACK_OFF_S = [1, 2, 5, 15, 60];
const AT_MOST = 100;

let rows = [];
let seqLast = 0;
let timer = 0;
let failures = 0;
let sending = null;
let held = 0; // rows that a POST of this page is sending right now
const watchers = new Set();
const channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel('weirbook.outbox') : null;
channel?.unref?.(); // only Node has it: tests of pure parts end by themselves

/** Calls back after every change of what waits, and after something reached the record. */
export function onOutbox(watcher) {
  watchers.add(watcher);
  return () => watchers.delete(watcher);
}
function changed(recorded = false) {
  for (const watcher of watchers) watcher({ recorded });
}
function tellOthers(dropped) {
  channel?.postMessage({ dropped });
}

/** RFC 9562 version 7.  randomUUID is missing on plain http, so the bits come from getRandomValues. */
export function newKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let ms = Date.now();
  for (let i = 5; i >= 0; i -= 1) {
    bytes[i] = ms % 256;
    ms = Math.floor(ms / 256);
  }
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = [...bytes].map((b) => b.toString(16).padStart(2, '0')).join('');
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-');
}

/* Time first, so that rows of two tabs keep their order; a counter splits one millisecond. */
function newSeq() {
  const time = Date.now() * 1000;
  seqLast = Math.max(seqLast + 1, time);
  return seqLast;
}
const nowText = () => `${new Date().toISOString().slice(0, 19)}Z`;

async function store(given) {
  const { sending: ignored, ...row } = given;
  const at = rows.findIndex((r) => r.seq === row.seq);
  await put(row);
  if (at < 0) rows.push(row);
  else rows[at] = row;
  tellOthers();
  changed();
}
async function drop(row, recorded) {
  await remove(row.seq);
  rows = rows.filter((r) => r.seq !== row.seq);
  tellOthers(row.seq);
  changed(recorded);
}

/** Rows that wait, oldest first: all, or those of a kind. */
export const waiting = (kind) => rows.filter((r) => !kind || r.kind === kind);
/** When the oldest row that waits was made.  @returns {string|null} an instant */
export const waitingSince = () => rows[0]?.made_at ?? null;
/** @returns {object[]} the rows that wait for a person */
export const needMending = () => rows.filter((r) => r.state === MENDING);
const rowOfKey = (key) => rows.find((r) => r.key === key && r.op === 'create');

/*
 * Sending on screen.
 */
const body = (row) => ({ ...row.fields, key: row.key, ...(row.offset_s === null ? {} : { clock_offset_s: row.offset_s }) });

async function postRow(row, confirm) {
  row.sending = true;
  held += 1;
  try {
    const entry = await api.post(`/api/${row.kind}`, { ...body(row), ...(confirm ? { confirm: true } : {}) });
    await drop(row, true);
    return { state: RECORDED, key: row.key, entry };
  } catch (fault) {
    if (fault instanceof api.AwayError) {
      await store({ ...row, state: KEPT, tried: row.tried + 1 });
      later(fault.retryAfterS);
      return { state: KEPT, key: row.key };
    }
    if (!(fault instanceof api.ProblemError)) throw fault;
    return answerNo(row, fault);
  } finally {
    row.sending = false;
    held -= 1;
  }
}

/* In the way for good: a confirmation does not help. */
const STANDS_FOR_GOOD = /^(taken|still_used|is_struck|refers_to_struck)/;
/** Whether the service only asks: the same entry is kept once it is confirmed. */
export const isQuestion = (problem) => problem?.status === 409 && !(problem.errors ?? []).some((e) => STANDS_FOR_GOOD.test(e.code));

async function answerNo(row, fault) {
  const asked = isQuestion({ status: fault.status, errors: fault.errors });
  const next = { ...row, state: asked ? ASKED : MENDING, problem: fault.problem, tried: row.tried + 1 };
  await store(next);
  return {
    state: asked ? 'question' : MENDING,
    key: row.key,
    errors: fault.errors,
    problem: fault.problem,
    confirm: () => postRow(rowOfKey(next.key) ?? next, true),
    drop: () => drop(next, false),
  };
}

/**
 * Keeps an entry of a kind on the tablet, then sends it.  Resolves to {state, key, entry?}: RECORDED, KEPT
 * (it could not be sent and will be), or {state: 'question' | MENDING, errors, confirm(), drop()}.
 * `at` is now unless given; set-up has none (timed: false).  `key` of a refused entry may be used again for the mended one.
 */
export async function log(kind, fields, { key, timed = true } = {}) {
  const old = key && rowOfKey(key);
  const row = {
    seq: old?.seq ?? newSeq(), op: 'create', kind, key: key ?? newKey(),
    fields: !timed || fields.at || fields.day ? fields : { ...fields, at: nowText() },
    made_at: nowText(), offset_s: api.clockOffsetS(), state: KEPT, problem: null, tried: 0,
  };
  await store(row);
  return postRow(rowOfKey(row.key), false);
}

/*
 * Undo and completion of what was logged, sent or not.
 */
async function queueAct(op, kind, key, fields) {
  await store({
    seq: newSeq(), op, kind, key, fields, made_at: nowText(), offset_s: api.clockOffsetS(), state: KEPT, problem: null, tried: 0,
  });
  await flush();
}

/** Takes an entry back: what was never sent is forgotten, what may have arrived is struck out. */
export async function undo(kind, key, why) {
  const row = rowOfKey(key);
  if (row && !row.tried && !row.sending) {
    for (const act of rows.filter((r) => r.key === key)) await drop(act, false);
    return;
  }
  await queueAct('strike', kind, key, { why });
}

/** Fills fields that were left empty, such as the appetite after the feeding. */
export async function complete(kind, key, fields) {
  const row = rowOfKey(key);
  if (row && !row.tried && !row.sending) {
    await store({ ...row, fields: { ...row.fields, ...fields } });
    return;
  }
  await queueAct('patch', kind, key, fields);
}

/*
 * The queue.
 */
function batchItem(row) {
  if (row.op === 'create') return { op: 'create', kind: row.kind, queued: true, ...body(row) };
  return { op: row.op, kind: row.kind, key: row.key, queued: true, ...row.fields };
}

async function settle(row, answer) {
  if (answer.status >= 200 && answer.status < 300) return drop(row, true);
  if (answer.status === 429 || answer.status >= 500) return undefined;
  return store({ ...row, state: MENDING, problem: answer.problem ?? null, tried: row.tried + 1 });
}

async function sendQueue() {
  const batch = rows.filter((r) => r.state === KEPT && !r.sending).slice(0, AT_MOST);
  if (!batch.length) return;
  for (const row of batch) row.sending = true;
  const { answers } = await api.post('/api/batch', { entries: batch.map(batchItem) })
    .finally(() => { for (const row of batch) row.sending = false; });
  for (const [i, row] of batch.entries()) if (answers[i]) await settle(row, answers[i]);
  if (answers.every((a) => a.status < 500 && a.status !== 429)) await sendQueue();
  else throw new api.AwayError('the service is busy');
}

/** Sends what waits, now.  Safe to call at any time; one run at a time. */
export function flush() {
  if (held) {
    later(1);
    return Promise.resolve();
  }
  sending ??= (async () => {
    try {
      await sendQueue();
      failures = 0;
    } catch (fault) {
      failures += 1;
      later(fault.retryAfterS);
    } finally {
      sending = null;
    }
  })();
  return sending;
}

function later(retryAfterS = 0) {
  clearTimeout(timer);
  if (!rows.some((r) => r.state === KEPT)) return;
  const wait = Math.max(retryAfterS, BACK_OFF_S[Math.min(failures, BACK_OFF_S.length - 1)]);
  timer = setTimeout(flush, wait * 1000 * (0.9 + 0.2 * Math.random()));
}

/** Sends a row that needs mending once more, with `fields` instead of its own where given. */
export async function mend(seq, fields) {
  const row = rows.find((r) => r.seq === seq);
  if (!row) return null;
  const next = { ...row, fields: { ...row.fields, ...fields }, state: KEPT, problem: null };
  await store(next);
  return row.op === 'create' ? postRow(rowOfKey(row.key), false) : flush();
}
/** Gives a row up, by a person's decision. */
export const giveUp = (seq) => {
  const row = rows.find((r) => r.seq === seq);
  return row && drop(row, false);
};

/** All that waits as text, for carrying it away by other means. */
export const exportText = () => JSON.stringify({ weirbook_outbox: 1, made_at: nowText(), entries: rows.map(batchItem) }, null, 2);

/*
 * Another tab has changed the store.  A row of ours that the store does not have is gone only if that tab dropped it: the store itself may
 * have been lost, and then this page is all that still knows the row.
 */
const gone = new Set();
async function takeFromStore(dropped) {
  gone.add(dropped);
  const kept = (await all()).filter((r) => !gone.has(r.seq));
  const busy = new Map(rows.filter((r) => r.sending).map((r) => [r.seq, r]));
  const there = new Set(kept.map((r) => r.seq));
  const left = rows.filter((r) => !there.has(r.seq) && !gone.has(r.seq));
  rows = [...kept.map((r) => busy.get(r.seq) ?? r), ...left].sort((a, b) => a.seq - b.seq);
  changed(true);
}

async function putAllAnew() {
  for (const { sending: ignored, ...row } of [...rows]) await put(row).catch(() => {});
}

/** Reads what an earlier visit left, and begins to send it. */
export async function startOutbox() {
  // A question that nobody answered before the page was left is one for mending now; and what was on
  // its way when the page was left may have arrived, so it counts as tried.
  rows = (await all()).map((r) => ({ ...r, state: r.state === ASKED ? MENDING : r.state, tried: Math.max(1, r.tried) }));
  channel?.addEventListener('message', (event) => takeFromStore(event.data.dropped));
  onLostStore(putAllAnew);
  addEventListener('online', flush);
  document.addEventListener('visibilitychange', () => { if (!document.hidden) flush(); });
  api.onReach((there) => { if (there) flush(); });
  changed();
  await flush();
}
