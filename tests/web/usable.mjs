/*
 * How soon Round can be used on a slow tablet: the processor slowed four times, from the address to a feeding that can be pressed.  With a
 * number of runs it prints its figures:
 *
 *   WEIRBOOK=build/weirbook node tests/web/usable.mjs 7
 *
 * usable.test.mjs holds the limit.
 */
import { fileURLToPath } from 'node:url';
import { seededRecord, startBrowser, startService } from './support.mjs';

const SLOWED = 4;

/** The middle one of a list of numbers. */
export const middle = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];

/* Seconds that the page's main thread has worked, by the thread's own clock: who else uses the machine does not matter. */
async function worked(cdp) {
  const { metrics } = await cdp.send('Performance.getMetrics');
  return metrics.find((m) => m.name === 'TaskDuration').value;
}

/**
 * Loads Round twice on a new tablet, with empty stores and with what the first load left.
 * @returns {{first: {ms: number, work_ms: number}, again: {ms: number, work_ms: number}, empty: {ms: number, work_ms: number}}} ms from the
 *   address until a feeding can be pressed, and how long the main thread worked meanwhile; `empty`: a page of the same service without anything in it
 */
export async function timeRound({ service, browser, staff }) {
  const tablet = await browser.newTablet(service, { staff });
  const cdp = await tablet.context.newCDPSession(tablet.page);
  await cdp.send('Performance.enable', { timeDomain: 'threadTicks' });
  await cdp.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
  const load = async (path, isThere) => {
    await tablet.page.goto('about:blank');
    const before = await worked(cdp);
    await tablet.open(path);
    await isThere();
    const ms = await tablet.page.evaluate(() => performance.now()); // since the navigation began
    return { ms, work_ms: (await worked(cdp) - before) * 1000 };
  };
  const feeding = () => tablet.page.locator('.round button.main').first().waitFor();
  const times = { empty: await load('/healthz', async () => {}), first: await load('/', feeding), again: await load('/', feeding) };
  await tablet.context.close();
  return times;
}

async function print(runs) {
  const seeded = await seededRecord();
  const service = await startService(seeded.record);
  const browser = await startBrowser();
  const all = [];
  for (let i = 0; i < runs; i += 1) all.push(await timeRound({ service, browser, staff: seeded.ids.ines }));
  await browser.stop();
  await service.stop();
  seeded.remove();
  for (const load of ['empty', 'first', 'again']) {
    const list = (name) => all.map((t) => Math.round(t[load][name]));
    console.log(`${load}: ${list('ms').join(', ')} ms, the middle one ${middle(list('ms'))}; at work ${list('work_ms').join(', ')} ms, the middle one ${middle(list('work_ms'))}`);
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await print(Number(process.argv[2] ?? 5));
