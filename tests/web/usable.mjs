/*
 * How soon Round can be used on a slow tablet: the processor slowed four times, from the address to a feeding that can be pressed.  Run by name, for its figures
 * depend on the machine:
 *
 *   WEIRBOOK=build/weirbook node tests/web/usable.mjs [runs]
 *
 * Exits 1 when the middle one of the first loads takes a second or more.
 */
import { seededRecord, startBrowser, startService } from './support.mjs';

const LIMIT_MS = 1000;
const SLOWED = 4;
const runs = Number(process.argv[2] ?? 5);
const middle = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];

const seeded = await seededRecord();
const service = await startService(seeded.record);
const browser = await startBrowser();
const measured = { first: [], again: [] };
for (let i = 0; i < runs; i += 1) {
  const tablet = await browser.newTablet(service, { staff: seeded.ids.ines });
  const cdp = await tablet.context.newCDPSession(tablet.page);
  await cdp.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
  for (const load of ['first', 'again']) {
    await tablet.open('/');
    await tablet.page.locator('.round button.main').first().waitFor();
    measured[load].push(await tablet.page.evaluate(() => performance.now())); // since the navigation began
  }
  await tablet.context.close();
}
await browser.stop();
await service.stop();
seeded.remove();
for (const [load, list] of Object.entries(measured)) console.log(`${load}: ${list.map((ms) => Math.round(ms)).join(', ')} ms; the middle one ${Math.round(middle(list))} ms`);
process.exitCode = middle(measured.first) < LIMIT_MS ? 0 : 1;
