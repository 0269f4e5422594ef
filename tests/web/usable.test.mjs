/*
 * How soon Round can be used on a tablet whose processor is slowed four times.  The machine may be shared: the best of some loads counts, the
 * main thread's work is taken from the thread's own clock, and what does not depend on the machine, the number of requests, is held apart.
 */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { seededRecord, startBrowser, startService } from './support.mjs';
import { timeRound } from './usable.mjs';

const LIMIT_MS = 1000; // usable
const WORK_LIMIT_MS = 850; // of the main thread, slowed
const BUSY_MS = 220; // an empty page that takes so long says that the machine has no time for us: then the work alone is held
const TRIES = 8;
const REQUESTS = 50; // each costs a slowed tablet 5 ms and more
let seeded;
let service;
let browser;
before(async () => {
  seeded = await seededRecord();
  service = await startService(seeded.record);
  browser = await startBrowser();
});
after(async () => {
  await browser.stop();
  await service.stop();
  seeded.remove();
});

test('round_can_be_used_within_a_second_on_a_slow_tablet', async (context) => {
  const best = { ms: Infinity, work: Infinity, empty: Infinity };
  for (let i = 0; i < TRIES && (best.ms >= LIMIT_MS || best.work >= WORK_LIMIT_MS); i += 1) {
    const { empty, first } = await timeRound({ service, browser, staff: seeded.ids.ines });
    best.ms = Math.min(best.ms, first.ms);
    best.work = Math.min(best.work, first.work_ms);
    best.empty = Math.min(best.empty, empty.ms);
  }
  const said = `usable after ${Math.round(best.ms)} ms, ${Math.round(best.work)} ms of work, an empty page ${Math.round(best.empty)} ms`;
  context.diagnostic(said);
  assert.ok(best.work > 50, `${said}: the work was not measured`);
  assert.ok(best.work < WORK_LIMIT_MS, said);
  assert.ok(best.ms < LIMIT_MS || best.empty > BUSY_MS, said);
});

test('round_stands_after_few_requests', async () => {
  const tablet = await browser.newTablet(service, { staff: seeded.ids.ines });
  const asked = [];
  tablet.page.on('request', (request) => asked.push(new URL(request.url()).pathname));
  await tablet.page.addInitScript(() => {
    new MutationObserver((changes, observer) => {
      if (!document.querySelector('.round button.main')) return;
      performance.mark('usable');
      observer.disconnect();
    }).observe(document, { childList: true, subtree: true });
  });
  await tablet.open('/');
  await tablet.page.locator('.round button.main').first().waitFor();
  const before = await tablet.page.evaluate(() => {
    const [{ startTime }] = performance.getEntriesByName('usable');
    return performance.getEntriesByType('resource').filter((r) => r.startTime < startTime).map((r) => r.name);
  });
  assert.ok(before.length > 10 && before.length <= asked.length, `${before.length} seen of ${asked.length}`);
  assert.ok(before.length <= REQUESTS, `${before.length}: ${before.join(' ')}`);
  const answers = before.filter((name) => name.includes('/api/') && !name.endsWith('/api/events'));
  assert.ok(answers.length <= 2, answers.join(' ')); // set-up and day come together
  await tablet.context.close();
});
