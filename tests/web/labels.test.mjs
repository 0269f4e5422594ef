/*
 * Labels: the code that a tablet makes, the sheet as it will be printed, and the way from a scanned label to its
 * page.  What is printed is read back by a decoder of its own (jsqr), so that it holds what it should.
 */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import jsQR from 'jsqr';
import { axeFindings, DESK, prepare } from './support.mjs';

let service;
let browser;
let ids;
prepare((given) => { ({ browser, ids, service } = given); }, { once: true, holder: null });

async function open(path) {
  const { page, open: go } = await browser.newTablet(service, { size: DESK, staff: ids.ines });
  await go(path);
  await page.waitForSelector('main *');
  return page;
}

/** Reads the QR code of an element as a camera would: from its picture on the screen. */
async function readCode(page, element) {
  const { data, width, height } = await page.evaluate(async (png) => {
    const image = new Image();
    image.src = `data:image/png;base64,${png}`;
    await image.decode();
    const canvas = new OffscreenCanvas(image.width, image.height);
    const pen = canvas.getContext('2d');
    pen.drawImage(image, 0, 0);
    const { data: pixels } = pen.getImageData(0, 0, image.width, image.height);
    return { data: [...pixels], width: image.width, height: image.height };
  }, (await element.screenshot()).toString('base64'));
  return jsQR(Uint8ClampedArray.from(data), width, height)?.data;
}

test('a_code_made_on_the_tablet_ends_in_its_check_character', async () => {
  const page = await open('/more');
  const codes = await page.evaluate(async () => {
    const made = await import('/js/codes.js');
    const { setTablet } = await import('/js/tablet.js');
    setTablet({ letter: 'A' });
    const first = made.newCode('2026-11-25');
    const second = made.newCode('2026-11-25');
    return { first, second, next: made.newCode('2026-11-26'), grid: made.checkCharacter('A1-2425G-ABC1234002'), holds: made.checkHolds(first), slip: made.checkHolds(first.replace('25', '26')) };
  });
  assert.match(codes.first, /^261125A01[0-9A-Z]$/);
  assert.match(codes.second, /^261125A02[0-9A-Z]$/);
  assert.match(codes.next, /^261126A01[0-9A-Z]$/);
  assert.equal(codes.grid, 'M'); // ISO/IEC 7064 MOD 37,36: the example of the GRid standard (from memory)
  assert.equal(codes.holds, true);
  assert.equal(codes.slip, false);
  await page.context().close();
});

test('a_sheet_holds_the_chosen_labels_at_their_places_and_they_read_back', async () => {
  const page = await open('/labels?of=places&sheet=a4-24&first=3&codes=T1+T2');
  await page.waitForSelector('.label img');
  const labels = await page.$$('.label');
  assert.equal(labels.length, 2);
  const sheet = await (await page.$('.label-page')).boundingBox();
  const [one, two] = await Promise.all(labels.map((l) => l.boundingBox()));
  const mm = sheet.width / 210;
  assert.ok(Math.abs((one.x - sheet.x) / mm - 140) < 0.5, 'the third label is the last of the first row');
  assert.ok(Math.abs((two.x - sheet.x) / mm) < 0.5 && Math.abs((two.y - sheet.y) / mm - 37.5) < 0.5, 'the fourth begins the second row');
  assert.ok(Math.abs(one.width / mm - 70) < 0.2 && Math.abs(one.height / mm - 37) < 0.2);
  await page.waitForFunction(() => [...document.querySelectorAll('.label img')].every((i) => i.complete && i.naturalWidth));
  assert.equal(await readCode(page, await labels[0].$('img')), 'T1');
  const farm = await service.get('/api/farm');
  await service.patch('/api/farm', { label_base_url: 'http://weirbook.test:8080/' }, farm.version);
  await page.reload();
  await page.waitForSelector('.label img');
  await page.waitForFunction(() => [...document.querySelectorAll('.label img')].every((i) => i.complete && i.naturalWidth));
  assert.equal(await readCode(page, await page.$('.label:nth-child(2) img')), 'http://weirbook.test:8080/s/T2');
  assert.deepEqual(await axeFindings(page), []);
  await page.context().close();
});

test('a_printed_page_is_the_sheet_and_nothing_else', async () => {
  const page = await open('/labels?of=places&sheet=roll-62&codes=T1+T2+T3');
  await page.waitForSelector('.label img');
  const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
  const boxes = [...pdf.matchAll(/\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/g)].map(([, w, h]) => [Number(w), Number(h)]);
  assert.equal(boxes.length, 3, 'a page a label');
  for (const [w, h] of boxes) {
    assert.ok(Math.abs(w - 62 * 72 / 25.4) < 1.5 && Math.abs(h - 29 * 72 / 25.4) < 1.5, `${w} x ${h} points`);
  }
  await page.context().close();
});

test('a_scanned_place_opens_on_the_round_and_a_lot_its_page', async () => {
  const page = await open('/s/t2');
  await page.waitForURL('**/at/T2');
  await page.goto(`${service.base}/s/F01`);
  await page.waitForURL(/\/farm\/fish-lots\/\d+$/);
  await page.goto(`${service.base}/s/260331A017Z`);
  await page.waitForSelector('[role=alert]');
  assert.match(await page.textContent('[role=alert]'), /misread/);
  await page.fill('input[name=code]', 'T1');
  await page.keyboard.press('Enter');
  await page.waitForURL('**/at/T1');
  await page.context().close();
});
