/*
 * What the browser tests share: a service of their own on a free port with a small invented farm, and tablets in
 * Debian's Chromium.  The service is the real program; nothing is canned.
 */
import { spawn } from 'node:child_process';
import { setDefaultResultOrder } from 'node:dns';
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createServer, request as httpRequest } from 'node:http';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, beforeEach } from 'node:test';
import { chromium } from 'playwright-core';

setDefaultResultOrder('ipv4first'); // Node 18 would try ::1 for localhost and nothing else

export const PROGRAM = process.env.WEIRBOOK ?? new URL('../../build/weirbook', import.meta.url).pathname;
const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium-headless-shell';
const CHROMIUM_ARGS = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
  '--disable-background-networking', '--disable-component-update', '--disable-sync'];
export const TABLET = { viewport: { width: 800, height: 1280 }, hasTouch: true };
export const DESK = { viewport: { width: 1440, height: 900 } };
export const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true };

/** A time zone in which it is past twelve now, so that a day's tests never meet midnight. */
export function zoneAtNoon() {
  const east = 12 - new Date().getUTCHours();
  return east === 0 ? 'Etc/UTC' : `Etc/GMT${east > 0 ? '-' : '+'}${Math.abs(east)}`; // POSIX signs: west is +
}
const iso = (ms) => `${new Date(ms).toISOString().slice(0, 19)}Z`;
export const minutesAgo = (n) => iso(Date.now() - n * 60e3);
export const daysAgo = (n) => iso(Date.now() - n * 864e5).slice(0, 10);

/** Waits until what is asked comes true; a service or a queue may need a moment. */
export async function eventually(isSo, within = 20000) {
  const end = Date.now() + within;
  while (!(await isSo())) {
    if (Date.now() > end) throw new Error(`not so within ${within} ms: ${isSo}`);
    await new Promise((resolve) => { setTimeout(resolve, 50); });
  }
}

/**
 * Starts the program on a free port, with an empty record or a copy of the record `from`; or again in the folder of one that ended; with `demo` the
 * farm of weirbook demo, made anew.
 */
export async function startService(from, { folder: old, demo = false } = {}) {
  const folder = old ?? mkdtempSync(join(tmpdir(), 'weirbook-web-'));
  if (from) copyFileSync(from, join(folder, 'weirbook.db'));
  const child = spawn(PROGRAM, [...(demo ? ['demo', '--fresh'] : ['serve']), '--db', join(folder, 'weirbook.db'), '--listen', '127.0.0.1:0'], { stdio: ['ignore', 'pipe', 'pipe'] });
  let complaints = '';
  child.stderr.on('data', (bytes) => { complaints = (complaints + bytes).slice(-4000); });
  const base = await new Promise((resolve, reject) => {
    let said = '';
    child.stdout.on('data', (bytes) => {
      said += bytes;
      const port = /:(\d+)\//.exec(said);
      if (port) resolve(`http://localhost:${port[1]}`);
    });
    child.once('error', reject);
    child.once('exit', (code) => reject(new Error(`the service ended with ${code}: ${said}`)));
  });
  const call = async (method, path, body, headers = {}) => {
    const response = await fetch(base + path, {
      method, headers: body ? { 'Content-Type': 'application/json', 'X-Weirbook': '1', ...headers } : headers, body: body && JSON.stringify(body),
    });
    const answer = await response.json();
    if (!response.ok) throw new Error(`${method} ${path}: ${response.status} ${JSON.stringify(answer)}`);
    return answer;
  };
  const service = {
    base,
    get: (path) => call('GET', path),
    post: (path, body) => call('POST', path, body),
    patch: (path, body, version) => call('PATCH', path, body, { 'If-Match': `"${version}"` }),
    /** Entries of a kind that stand. */
    entries: async (kind) => (await call('GET', `/api/${kind}?limit=1000`)).items,
    /** The same once there are n: what the screen shows may still be on its way. */
    kept: async (kind, n) => {
      let items = [];
      await eventually(async () => {
        ({ items } = await call('GET', `/api/${kind}?limit=1000`));
        return items.length === n;
      });
      return items;
    },
    folder,
    /** Starts it again after kill() or a stop that keeps, on another port: this object is then the new one. */
    again: async () => Object.assign(service, await startService(null, { folder })),
    /** Ends it as a power cut does. */
    kill: () => new Promise((resolve) => {
      child.once('exit', resolve);
      child.kill('SIGKILL');
    }),
    /** Ends it; fails when it had ended by itself, or ends badly. */
    stop: ({ keep = false } = {}) => new Promise((resolve, reject) => {
      const ended = (code, signal) => {
        if (!keep) rmSync(folder, { recursive: true, force: true });
        if (code === 0) resolve();
        else reject(new Error(`the service ended with ${signal ?? code}:\n${complaints}`));
      };
      if (child.exitCode !== null || child.signalCode !== null) {
        ended(child.exitCode ?? -1, child.signalCode);
        return;
      }
      child.once('exit', ended);
      child.kill('SIGTERM');
    }),
  };
  return service;
}

/**
 * Stands between browser and service, at an address that stays while the service changes.  onAnswer(request, answer) may resolve to false: the
 * answer is then lost on its way.  With newBuild the web files name another build, as after an upgrade.
 */
export async function startFront(service) {
  const front = { port: Number(new URL(service.base).port), onAnswer: async () => true, newBuild: null };
  const server = createServer((request, reply) => {
    const headers = { ...request.headers };
    delete headers['accept-encoding'];
    delete headers['if-none-match'];
    const up = httpRequest({ host: '127.0.0.1', port: front.port, method: request.method, path: request.url, headers }, async (answer) => {
      if (!(await front.onAnswer(request, answer))) {
        reply.destroy();
        return;
      }
      reply.writeHead(answer.statusCode, answer.headers);
      const named = front.newBuild && /build\.js|sw-files\.js|events/.test(request.url);
      answer.on('data', (bytes) => reply.write(named ? String(bytes).replace(/\b[0-9a-f]{20}\b/g, front.newBuild) : bytes));
      answer.on('end', () => reply.end());
      answer.on('error', () => reply.destroy());
    });
    up.on('error', () => reply.destroy());
    reply.on('close', () => up.destroy());
    request.pipe(up);
  });
  await new Promise((resolve) => { server.listen(0, '127.0.0.1', resolve); });
  front.base = `http://localhost:${server.address().port}`;
  front.leadTo = (other) => { front.port = Number(new URL(other.base).port); };
  front.stop = () => new Promise((resolve) => {
    server.close(resolve);
    server.closeAllConnections?.();
  });
  return front;
}

/**
 * The farm of these tests: tanks T1 (all is well), T2 (oxygen low), T3 (oxygen at its stop), T4 (an empty tank), unit S1 with a chore, bed B1.
 * Each tank with fish has a fixed plan at 06:00, 12:30 and 18:00; the day's clock stands between 12:00 and 12:59.
 */
export async function seedFarm(service, { language = 'en', units = 'si' } = {}) {
  const farm = await service.get('/api/farm');
  await service.patch('/api/farm', { name: 'Sedge Lane', time_zone: zoneAtNoon(), day_begins_hour: 4, language, units }, farm.version);
  const make = async (kind, fields) => (await service.post(`/api/${kind}`, fields)).id;
  const ids = {};
  ids.ines = await make('staff', { name: 'Ines', role: 'crew' });
  ids.maud = await make('staff', { name: 'Maud', role: 'manager' });
  ids.loop = await make('loops', { code: 'A', name: 'Loop A', water_volume_l: 48000 });
  ids.species = await make('species', { name: 'Redfin', market_weight_g: 480, temperature_optimum_c: 28 });
  await make('species-limits', { species_id: ids.species, quantity: 'do_mg_l', low_stop: 3, low: 5, source: 'made for this test' });
  ids.feed = await make('feeds', { name: 'Grower 36, 3 mm', protein_pct: 36, scoop_g: 240 });
  for (const [i, code] of ['T1', 'T2', 'T3', 'T4'].entries()) {
    ids[code] = await make('tanks', { code, loop_id: ids.loop, role: 'growout', volume_l: 6000, walk_order: 10 * (i + 1), density_limit_kg_m3: 60 });
    if (code === 'T4') continue;
    ids[`lot-${code}`] = await make('fish-lots', { code: `F0${i}`, species_id: ids.species, mean_weight_g: 200 });
    await make('fish-moves', { fish_lot_id: ids[`lot-${code}`], to_tank_id: ids[code], fish: 1000, weight_g: 200000, reason: 'stocking', day: daysAgo(20) });
    await make('feeding-plans', { tank_id: ids[code], feed_id: ids.feed, from_day: daysAgo(20), times: ['06:00', '12:30', '18:00'], fixed_g: 4260 });
  }
  for (const [code, oxygen] of [['T1', 6.4], ['T2', 3.9], ['T3', 2.4]]) {
    await make('water-tests', { place_id: ids[code], at: minutesAgo(10), do_mg_l: oxygen, temperature_c: 26.1 });
  }
  ids.S1 = await make('units', { code: 'S1', name: 'Swirl separator', loop_id: ids.loop, role: 'swirl_separator', walk_order: 15 });
  ids.chore = await make('chores', { title: 'Empty the swirl', place_id: ids.S1, every_days: 1, due_hour: 20, answer: 'number', answer_unit: 'L', low: 0, high: 120 });
  ids.B1 = await make('beds', { code: 'B1', loop_id: ids.loop, role: 'raft', length_m: 24, width_m: 1.2, raft_length_m: 1.2, raft_width_m: 0.6, sites_per_raft: 18, walk_order: 50 });
  ids.crop = await make('crops', { name: 'Lettuce', cut: 'once' });
  ids.variety = await make('varieties', { name: 'Ashgreen', crop_id: ids.crop, days_germination: 3, days_nursery: 14, days_raft: 20, days_hold: 5 });
  ids.sowing = await make('crop-lots', { code: 'C1', variety_id: ids.variety, bed_id: ids.B1, cubes: 200, day: daysAgo(45) });
  return ids;
}

/** Seeds a farm once, and what more(service, ids) adds; resolves to {ids, record: path of a copy of it, remove()} for startService(record). */
export async function seededRecord({ more, ...options } = {}) {
  const service = await startService();
  const ids = await seedFarm(service, options);
  await more?.(service, ids);
  await service.stop({ keep: true });
  return { ids, record: join(service.folder, 'weirbook.db'), remove: () => rmSync(service.folder, { recursive: true, force: true }) };
}

/** A browser; newTablet() gives a page of its own store, held by `staff`. */
export async function startBrowser() {
  const browser = await chromium.launch({ executablePath: CHROMIUM, args: CHROMIUM_ARGS });
  const contexts = [];
  return {
    async newTablet(service, { staff, language = 'en', theme = 'light', hand = 'right', size = TABLET, worker = false, letter = 'A' } = {}) {
      // A worker would load every file in the middle of a test that counts requests or breaks them.
      const context = await browser.newContext({ ...size, locale: language, serviceWorkers: worker ? 'allow' : 'block' });
      contexts.push(context);
      const kept = JSON.stringify({ theme, hand, language, staff_id: staff ?? null, letter });
      await context.addInitScript(`if (!localStorage.getItem('weirbook.tablet')) localStorage.setItem('weirbook.tablet', ${JSON.stringify(kept)})`);
      const page = await context.newPage();
      page.setDefaultTimeout(20000); // a busy machine is no fault of the page
      const faults = [];
      page.on('pageerror', (fault) => faults.push(String(fault)));
      page.on('console', (message) => { if (/Content Security Policy|is not a valid|Refused to/.test(message.text())) faults.push(message.text()); });
      return { context, page, faults, open: (path) => page.goto(service.base + path) };
    },
    stop: async () => {
      for (const context of contexts) await context.close().catch(() => {});
      await browser.close();
    },
  };
}

/**
 * The beginning of a test file: a farm seeded once (seed: as for seededRecord), one browser, and for each test (or, with
 * `once`, for the file) a service with a copy of the farm and a tablet held by `holder` (null: no tablet).
 * take({service, browser, ids, tablet, page}) gets them.
 */
export function prepare(take, { once = false, seed = {}, holder = 'ines', tablet: look = {} } = {}) {
  let seeded;
  let browser;
  let service;
  let tablet;
  const open = async () => {
    service = await startService(seeded.record);
    tablet = holder && await browser.newTablet(service, { staff: seeded.ids[holder], ...look });
    take({ service, browser, ids: seeded.ids, tablet, page: tablet?.page });
  };
  const close = async () => {
    await tablet?.context.close();
    await service?.stop();
  };
  before(async () => {
    seeded = await seededRecord(seed);
    browser = await startBrowser();
    if (once) await open();
  });
  after(async () => {
    if (once) await close();
    await browser?.stop();
    seeded?.remove();
  });
  if (!once) {
    beforeEach(async (context) => {
      await open();
      context.after(close);
    });
  }
}

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** The serious and critical findings of axe-core on what the page shows now, as short texts; `rules` names a few instead of all. */
export async function axeFindings(page, rules) {
  // By the debugger's hand: the page's own policy lets no foreign script in.
  if (!(await page.evaluate(() => Boolean(globalThis.axe)))) await page.evaluate(axeSource);
  const found = await page.evaluate((only) => globalThis.axe.run(document, { runOnly: only ?? ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa'], resultTypes: ['violations'] }), rules);
  return found.violations.filter((v) => ['serious', 'critical'].includes(v.impact))
    .map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 120)).join(' | ')}`);
}

/** Everything that can be pressed and is smaller than 48 px, as short texts; a box to tick is as large as its label, and links within the manual's sentences are exempt (WCAG 2.2, 2.5.8, inline). */
export function smallTargets(page) {
  return page.evaluate(() => {
    const open = document.querySelector('dialog[open]');
    return [...(open ?? document).querySelectorAll('button, a[href], select, input')].filter((el) => {
      const box = ((el.type === 'checkbox' && el.closest('label')) || el).getBoundingClientRect();
      const shown = box.width > 1 && box.height > 1 && getComputedStyle(el).visibility !== 'hidden';
      return shown && !el.matches('.manual :is(p, li) a') && (box.width < 47.5 || box.height < 47.5);
    }).map((el) => `${el.tagName} "${el.textContent.trim().slice(0, 30)}" ${JSON.stringify(el.getBoundingClientRect())}`);
  });
}
