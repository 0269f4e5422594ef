/* What the first load of Round costs: every byte that comes over the wire, headers and answers of the API included. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { eventually, seededRecord, startBrowser, startService } from './support.mjs';

const LIMIT = 120 * 1000;
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

/** Counts what the browser itself says came over the wire. */
async function meter(tablet) {
  const cdp = await tablet.context.newCDPSession(tablet.page);
  await cdp.send('Network.enable');
  const asked = new Map();
  const total = { bytes: 0, requests: 0, by: [] };
  cdp.on('Network.requestWillBeSent', (e) => asked.set(e.requestId, e.request.url));
  cdp.on('Network.responseReceived', (e) => { if (e.response.mimeType === 'text/event-stream') total.bytes += e.response.encodedDataLength; });
  cdp.on('Network.loadingFinished', (e) => {
    total.bytes += e.encodedDataLength;
    total.requests += 1;
    total.by.push([e.encodedDataLength, asked.get(e.requestId)]);
  });
  return { total, asked };
}

test('the_first_load_of_round_stays_under_its_limit_and_within_its_origin', async () => {
  const tablet = await browser.newTablet(service, { staff: seeded.ids.ines });
  const { total, asked } = await meter(tablet);
  const complaints = [];
  tablet.page.on('console', (message) => { if (message.type() === 'error') complaints.push(message.text()); });
  await tablet.open('/');
  await tablet.page.locator('.round').waitFor();
  let before = -1;
  await eventually(async () => { // until nothing more comes
    const still = before === total.bytes;
    before = total.bytes;
    await tablet.page.waitForTimeout(500);
    return still;
  });
  if (process.env.SHOW) console.log(total.by.sort((a, b) => b[0] - a[0]).map(([n, url]) => `${n} ${url}`).join('\n'));
  assert.ok(total.requests > 10 && total.bytes > 20000, `${total.requests} requests, ${total.bytes} bytes: not all was seen`);
  if (process.env.SHOW) console.log(`all ${total.bytes}`);
  assert.ok(total.bytes < LIMIT, `${total.bytes} bytes in ${total.requests} requests`);
  for (const url of asked.values()) assert.ok(url.startsWith(`${service.base}/`) || url.startsWith('data:'), url);
  assert.deepEqual(complaints, []);
  await tablet.context.close();
});

test('the_policy_lets_no_inline_script_or_style_run', async () => {
  const policy = (await fetch(service.base)).headers.get('content-security-policy');
  assert.match(policy, /default-src 'none'/);
  assert.doesNotMatch(policy, /unsafe-|\*|https?:/);
});
