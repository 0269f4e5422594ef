/*
 * The way to each picture of the manual: a farm, a size, and what a person presses until the screen shows what the page
 * speaks of.  manual-pictures.mjs takes the pictures by it; manual.test.mjs walks it, so that a picture whose screen is gone fails.
 *
 * Walks may enter things: each language has a copy of the farm, and the walks stand in an order in which that does no harm.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import calcEn from '../../web/js/words/calc-en.js';
import calcEs from '../../web/js/words/calc-es.js';
import en from '../../web/js/words/en.js';
import es from '../../web/js/words/es.js';
import alarms from '../../web/js/words/alarms.js';
import trouble from '../../web/js/words/trouble.js';
import { PROGRAM, startBrowser, startService, zoneAtNoon } from './support.mjs';

export const CATALOGUES = { en: [en, calcEn, trouble.en, alarms.en], es: [es, calcEs, trouble.es, alarms.es] };
const find = (node, key) => key.split('.').reduce((n, part) => n?.[part], node);
const PORTRAIT = (height) => ({ viewport: { width: 800, height }, hasTouch: true });
const DESK = (height) => ({ viewport: { width: 1120, height } });

/** The catalogue's text under a key of the main catalogue, or of a part: w('trouble', 'hold'). */
function wordsOf(language) {
  const [main] = CATALOGUES[language];
  return { t: (key) => find(main, key) ?? key, trouble: (key) => find(trouble[language], key) };
}

/* A text with {places} in it, as a pattern for what stands on the screen. */
const pattern = (text) => new RegExp(`^\\s*${text.split(/\{\w+\}/).map((part) => part.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')).join('.+')}`);

/* walk({page, open, press, shown, w}): press(text) taps the first button or link that begins so; shown(locator) waits. */
export const WALKS = [
  { name: 'begin', farm: 'empty', size: PORTRAIT(1150), walk: async ({ open, page, w }) => {
    await open('/begin');
    await page.getByLabel(w.t('begin.farm')).fill('Sedge Lane');
    await page.getByLabel(w.t('begin.water')).fill('48000');
    await page.getByLabel(w.t('begin.volume')).fill('6000');
  } },
  { name: 'round', size: PORTRAIT(1000), walk: async ({ open, shown, page }) => {
    await open('/');
    await shown(page.locator('section.entry').first());
  } },
  { name: 'at-tank', size: PORTRAIT(1180), walk: async ({ open, shown, page }) => {
    await open('/at/T3');
    await shown(page.locator('.act-grid .act-main'));
  } },
  { name: 'sweep', size: PORTRAIT(1000), walk: async ({ open, shown, page }) => {
    await open('/');
    await page.locator('.sweep button').first().click();
    await shown(page.locator('dialog.pad'));
    for (const key of ['5', '.', '8']) await page.locator('dialog.pad').getByRole('button', { name: key === '.' ? /^[.,]$/ : key, exact: true }).click();
  } },
  { name: 'feed-amount', size: PORTRAIT(1180), walk: async ({ open, shown, page, w }) => {
    await open('/at/T3');
    const other = page.getByRole('button', { name: w.t('feed.other') });
    await page.locator('.act-grid .act-main').waitFor();
    if (await other.count()) await other.click();
    else await page.locator('.act-grid .act-main').click();
    await shown(page.locator('dialog.pad'));
  } },
  { name: 'water', size: DESK(720), walk: async ({ open, shown, page }) => {
    await open('/water');
    await shown(page.locator('table td').first());
  } },
  { name: 'probe', size: DESK(900), walk: async ({ open, shown, page, press, w }) => {
    await open('/water/DO-T4');
    await press(w.t('probes.spans.month'));
    await shown(page.locator('.series canvas'));
  } },
  { name: 'dose', size: DESK(1080), walk: async ({ open, shown, page, press, w }) => {
    await open('/water/dosing');
    await press(w.t('dosing.purpose.alkalinity'));
    await page.getByLabel(w.t('dosing.field.to')).fill('90');
    await shown(page.getByRole('button', { name: pattern(w.t('dosing.log')) }));
  } },
  { name: 'weighing', size: DESK(900), walk: async ({ open, page, w, shown }) => {
    await open('/farm/weighings/new');
    const nets = page.getByLabel(w.t('field.nets'));
    await shown(nets);
    await nets.fill('20 4310 18 3902 22 4744');
  } },
  { name: 'tank-page', size: DESK(1080), walk: async ({ open, shown, page }) => {
    await open('/tanks/T4');
    await shown(page.locator('svg').first());
  } },
  { name: 'beds', size: DESK(820), walk: async ({ open, shown, page }) => {
    await open('/beds');
    await shown(page.locator('svg').first());
  } },
  { name: 'bed-flow', size: DESK(820), walk: async ({ open, shown, page }) => {
    await open('/beds/B1');
    await shown(page.locator('svg').first());
  } },
  { name: 'harvest', size: PORTRAIT(1000), walk: async ({ open, shown, page, press, w }) => {
    await open('/harvest');
    await press(w.t('harvests.log'));
    await shown(page.locator('dialog .tiles').first());
  } },
  { name: 'labels', size: DESK(760), walk: async ({ open, shown, page, w }) => {
    await open('/labels');
    await shown(page.getByLabel(w.t('labels.sheet')));
    for (const code of ['T1', 'T2', 'T3', 'T4']) await page.locator('label', { hasText: code }).first().click();
  } },
  { name: 'tanks', size: { viewport: { width: 1320, height: 900 } }, walk: async ({ open, shown, page }) => {
    await open('/tanks');
    await shown(page.locator('table.tanks td').first());
  } },
  { name: 'closing', size: DESK(420), walk: async ({ open, shown, page, w }) => {
    await open('/tanks');
    const close = page.getByRole('button', { name: pattern(w.t('closed.close')) });
    await shown(close);
    await close.evaluate((el) => el.scrollIntoView({ block: 'end' }));
    await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight));
  } },
  { name: 'balance', size: DESK(860), walk: async ({ open, shown, page }) => {
    await open('/balance');
    await shown(page.locator('svg').first());
  } },
  { name: 'import', size: DESK(800), walk: async ({ open, shown, page, w }) => {
    await open('/farm/import');
    await page.locator('input[type=file]').setInputFiles({ name: 'water-tests.csv', mimeType: 'text/csv', buffer: Buffer.from('place,day,ph\r\nA-SUMP,2026-01-05,6.9\r\nA-SUMP,2026-01-08,sieben\r\n') });
    await shown(page.getByText(w.t('importing.wrong'), { exact: false }).first());
  } },
  { name: 'outbox', size: PORTRAIT(760), walk: async ({ open, shown, page, press, w, context }) => {
    await open('/at/T6');
    await page.locator('.act-grid .act-main').waitFor();
    await page.waitForTimeout(4500); // the other modules come
    await context.setOffline(true);
    await press(w.t('act_at.dead'), true);
    await page.locator('.counts button').first().click();
    const waits = page.locator('.tools .waiting');
    await waits.waitFor();
    await waits.click();
    await shown(page.locator('dialog li').first());
  }, after: ({ context }) => context.setOffline(false) },
  { name: 'card', size: { viewport: { width: 760, height: 1000 } }, walk: async ({ open, shown, page }) => {
    await open('/trouble');
    await page.emulateMedia({ media: 'print' });
    await shown(page.locator('.only-print .call'));
  } },
  { name: 'trouble', size: PORTRAIT(1180), walk: async ({ open, shown, page, press, w }) => {
    await open('/trouble');
    await press(w.trouble('kinds.air'), true);
    await shown(page.locator('.trouble-part.open'));
    await shown(page.locator('ol.air li').first());
  } },
];

/** The demo farm as a file, made by the program in a zone where it is noon; resolves to {record, remove()}. */
export async function makeDemo() {
  const folder = mkdtempSync(join(tmpdir(), 'weirbook-manual-'));
  const record = join(folder, 'demo.db');
  const child = spawn(PROGRAM, ['demo', '--fresh', '--db', record, '--listen', '127.0.0.1:0'], { stdio: ['ignore', 'pipe', 'inherit'], env: { ...process.env, TZ: zoneAtNoon() } });
  const ended = new Promise((resolve) => { child.once('exit', resolve); });
  await new Promise((resolve, reject) => {
    let said = '';
    child.stdout.on('data', (bytes) => {
      said += bytes;
      if (/:\d+\//.test(said)) resolve();
    });
    child.once('exit', (code) => reject(new Error(`the demo ended with ${code}: ${said}`)));
  });
  child.kill('SIGTERM');
  await ended;
  return { record, remove: () => rmSync(folder, { recursive: true, force: true }) };
}

/** Words of the catalogue that stand as they are in a button, heading or label of the page. */
export async function wordsShown(page, language) {
  const leaves = new Set();
  const visit = (node) => (typeof node === 'string' ? leaves.add(node) : Object.values(node).forEach(visit));
  visit(CATALOGUES[language]);
  const texts = await page.evaluate(() => {
    const root = document.querySelector('dialog[open]') ?? document;
    return [...root.querySelectorAll('button, h1, h2, h3, th, label, legend, label > span')].filter((el) => el.getClientRects().length).map((el) => el.innerText.trim());
  });
  return [...new Set(texts)].filter((text) => leaves.has(text)).sort();
}

/**
 * Walks all (or those named) in one language; seen({name, page, faults}) is called at each picture.  Each at the size of its
 * picture, or all at the `size` given.
 */
export async function walkAll(language, demo, seen, { only, size: one } = {}) {
  const browser = await startBrowser();
  const missed = [];
  const services = { demo: await startService(demo.record), empty: await startService() };
  try {
    const [first] = (await services.demo.entries('staff')).filter((s) => s.role === 'crew');
    for (const { name, farm = 'demo', size, walk, after } of WALKS.filter((way) => !only?.length || only.includes(way.name))) {
      const { context, page, faults, open } = await browser.newTablet(services[farm], { staff: first.id, language, size: one ?? size });
      const press = (text, exact = false) => page.getByRole('button', { name: exact ? text : pattern(text), exact }).first().click();
      const shown = (locator) => locator.waitFor();
      try {
        await walk({ page, context, open, press, shown, w: wordsOf(language) });
        await seen({ name, page, faults });
        await after?.({ context });
      } catch (fault) {
        if (process.env.SHOW) await page.screenshot({ path: `${process.env.SHOW}/${language}-${name}.png` });
        missed.push(`the picture "${name}" (${language}) cannot be reached: ${fault.message}`);
      }
      await context.close();
    }
    if (missed.length) throw new Error(missed.join('\n'));
  } finally {
    await browser.stop();
    await services.demo.stop();
    await services.empty.stop();
  }
}
