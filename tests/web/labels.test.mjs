/*
 * Labels: the code that a tablet makes, the sheet as it will be printed, and the way from a scanned label to its
 * page; with the network and without.  What is printed is read back by a decoder of its own (jsqr), so that it holds what it should, and
 * held against the service's picture (libqrencode).
 */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import jsQR from 'jsqr';
import { axeFindings, DESK, eventually, prepare } from './support.mjs';

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
  await page.waitForSelector('.label .qr');
  const labels = await page.$$('.label');
  assert.equal(labels.length, 2);
  const sheet = await (await page.$('.label-page')).boundingBox();
  const [one, two] = await Promise.all(labels.map((l) => l.boundingBox()));
  const mm = sheet.width / 210;
  assert.ok(Math.abs((one.x - sheet.x) / mm - 140) < 0.5, 'the third label is the last of the first row');
  assert.ok(Math.abs((two.x - sheet.x) / mm) < 0.5 && Math.abs((two.y - sheet.y) / mm - 37.5) < 0.5, 'the fourth begins the second row');
  assert.ok(Math.abs(one.width / mm - 70) < 0.2 && Math.abs(one.height / mm - 37) < 0.2);
  assert.equal(await readCode(page, await labels[0].$('.qr')), 'T1');
  const farm = await service.get('/api/farm');
  await service.patch('/api/farm', { label_base_url: 'http://weirbook.test:8080/' }, farm.version);
  await page.reload();
  await page.waitForSelector('.label .qr');
  assert.equal(await readCode(page, await page.$('.label:nth-child(2) .qr')), 'http://weirbook.test:8080/s/T2');
  assert.deepEqual(await axeFindings(page), []);
  await page.context().close();
});

test('a_printed_page_is_the_sheet_and_nothing_else', async () => {
  const page = await open('/labels?of=places&sheet=roll-62&codes=T1+T2+T3');
  await page.waitForSelector('.label .qr');
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

/* The dark modules of a picture by its path, as text. */
function modules(side, d) {
  const lines = Array.from({ length: side }, () => Array(side).fill('.'));
  for (const [, x, y, n] of d.matchAll(/M(\d+) (\d+)h(\d+)v1h-\d+z/g)) lines[y].fill('#', Number(x), Number(x) + Number(n));
  return lines.map((line) => line.join('')).join('\n');
}

/* The standard leaves the choice among eight masks to a score, in which programs differ; all else is laid down. */
test('the_tablet_draws_the_service_s_picture_module_for_module', async () => {
  const page = await open('/more');
  const texts = ['T1', 'B12', 'A-SWIRL', '261125A017', 'F0231', 'http://weirbook.test:8080/s/T2', 'https://10.11.12.13:8443/s/261125AB123K', 'Señal·ñ', 'x'.repeat(200)];
  for (let i = 0; i < 40; i += 1) texts.push(`26${String(1 + (i % 12)).padStart(2, '0')}${String(1 + ((7 * i) % 28)).padStart(2, '0')}${'ABCDEF'[i % 6]}${String(i).padStart(2, '0')}${(i * 17) % 36 < 10 ? (i * 17) % 10 : 'Q'}`);
  const drawn = await page.evaluate(async (all) => {
    const { qrShape } = await import('/js/qr.js');
    const { encode } = await import('/lib/uqr/index.mjs');
    const bytes = (text) => [...new TextEncoder().encode(text)];
    return all.map((text) => ({ shape: qrShape(text), mask: encode(bytes(text), { ecc: 'M', border: 4 }).maskPattern, each: [0, 1, 2, 3, 4, 5, 6, 7].map((maskPattern) => encode(bytes(text), { ecc: 'M', border: 4, maskPattern }).data.map((line) => line.map((dark) => (dark ? '#' : '.')).join('')).join('\n')) }));
  }, texts);
  for (const [i, text] of texts.entries()) {
    const picture = await (await fetch(`${service.base}/api/qr.svg?text=${encodeURIComponent(text)}`)).text();
    const [, side] = /viewBox="0 0 (\d+) /.exec(picture);
    const { shape, each, mask } = drawn[i];
    assert.equal(shape.side, Number(side), text);
    assert.equal(modules(shape.side, shape.d), each[mask], `${text}: drawn as it was reckoned`);
    assert.ok(each.includes(modules(Number(side), /<path d="([^"]+)"/.exec(picture)[1])), `${text}: as libqrencode has it, by one of the masks`);
  }
  assert.deepEqual(await page.evaluate(async () => { const { qrShape } = await import('/js/qr.js'); return [qrShape(''), qrShape('x'.repeat(201))]; }), [null, null], 'as the service: 1 to 200 bytes');
  await page.context().close();
});

const go = (page, path) => page.evaluate((to) => {
  history.pushState(null, '', to);
  dispatchEvent(new PopStateEvent('popstate'));
}, path);

test('a_lot_sown_while_the_network_is_away_gets_its_label_and_a_plate_too', async () => {
  const { page, context, faults } = await browser.newTablet(service, { staff: ids.ines });
  await page.goto(`${service.base}/farm/crop-lots/new`);
  await page.locator('.record-form').waitFor();
  await eventually(() => page.evaluate(() => performance.getEntriesByType('resource').some((r) => r.name.endsWith('/lib/uqr/index.mjs')))); // by itself, some seconds after the start
  await eventually(() => page.evaluate(() => performance.getEntriesByType('resource').some((r) => r.name.endsWith('/js/at-hand.js'))));
  await page.waitForTimeout(1000);
  await context.setOffline(true);
  const code = await page.inputValue('#f-code');
  await page.fill('#f-variety_id', 'Ashgreen');
  await page.fill('#f-bed_id', 'B1');
  await page.fill('#f-cubes', '90');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.waitForURL('**/farm/crop-lots');
  await go(page, '/labels?of=crop-lots&sheet=roll-62');
  await page.locator('.label-rows label', { hasText: code }).click();
  const label = page.locator('.label');
  await label.locator('.qr').waitFor();
  assert.match(await label.innerText(), new RegExp(`${code}\\s+Ashgreen`));
  const held = async () => { const farm = await page.evaluate(async () => (await import('/js/setup.js')).farm().label_base_url); return farm ? `${farm.replace(/\/+$/, '')}/s/` : ''; };
  assert.equal(await readCode(page, await page.$('.label .qr')), `${await held()}${code}`);
  assert.equal(await page.locator('.label-rows label', { hasText: 'C1' }).count(), 0, 'sown 45 days ago: the list is of 14 days');
  await go(page, '/labels?of=places&sheet=plate-a5&codes=T3');
  await page.locator('.label .label-code', { hasText: 'T3' }).waitFor();
  assert.equal(await readCode(page, await page.$('.label .qr')), `${await held()}T3`);
  assert.deepEqual(await axeFindings(page), []);
  assert.deepEqual(faults, []);
  await context.setOffline(false);
  await service.kept('crop-lots', 2);
  await context.close();
});

test('over_a_service_worker_labels_open_from_cold_without_the_network', async () => {
  const tablet = await browser.newTablet(service, { staff: ids.ines, worker: true });
  const { page, context } = tablet;
  await tablet.open('/labels?of=places&codes=T1');
  await page.locator('.label .qr').waitFor();
  await page.evaluate(() => navigator.serviceWorker.ready);
  await eventually(() => page.evaluate(async () => (await caches.keys()).length === 1));
  await page.waitForTimeout(2000); // the newest answers go to the tablet's disk
  await page.close();
  await context.setOffline(true);
  const again = await context.newPage();
  again.setDefaultTimeout(20000);
  await again.goto(`${service.base}/labels?of=places&codes=T1&sheet=a4-65`);
  await again.locator('.label .qr').waitFor();
  assert.match(await readCode(again, await again.$('.label .qr')), /(^|\/s\/)T1$/);
  await context.close();
});
