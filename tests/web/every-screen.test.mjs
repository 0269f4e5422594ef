/*
 * Every screen of js/screens.js, on the demo farm: axe-core finds nothing serious in any theme at three sizes, nothing runs over the side, no text is
 * cut off, and what is pressed is large enough.  A screen that is added is tested from then on; one with a {name} in its address needs a
 * line in FILLED.
 */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { axeFindings, DESK, smallTargets, startBrowser, startService, TABLET, zoneAtNoon } from './support.mjs';

const THEMES = ['light', 'dark', 'sun'];
const SIZES = { tablet: TABLET.viewport, desk: DESK.viewport, phone: { width: 390, height: 844 } };
const QUIET_MS = 400; // nothing more is drawn
let service;
let browser;
let filled;
before(async () => {
  process.env.TZ = zoneAtNoon();
  service = await startService(null, { demo: true });
  browser = await startBrowser();
  filled = await addressesOf(service);
});
after(async () => {
  await browser.stop();
  await service.stop();
});

/* What stands for the braces of an address, on this farm: one or more addresses for each. */
async function addressesOf({ get }) {
  const first = async (kind, order = '') => (await get(`/api/${kind}?limit=1${order}`)).items[0];
  const [tank, unit, bed, feeding, lot] = [await first('tanks'), await first('units'), await first('beds'), await first('feedings', '&order=-at'), await first('fish-lots')];
  return {
    '/at/{code}': [tank, unit, bed].map((place) => `/at/${place.code}`),
    '/tanks/{code}': [`/tanks/${tank.code}`],
    '/beds/{code}': [`/beds/${bed.code}`],
    '/water/of/{code}': ['/water/of/T2?of=do_mg_l'],
    '/water/{code}': [`/water/${(await first('probes')).code}`],
    '/farm/{kind}': ['/farm/feedings', '/farm/tanks'],
    '/farm/{kind}/new': ['/farm/feedings/new', '/farm/weighings/new'],
    '/farm/{kind}/{id}': [`/farm/feedings/${feeding.id}`],
    '/manual/{page}': ['/manual/feeding'],
    '/s/{code}': [`/s/${lot.code}`],
    '/calc/{name}': [`/calc/${(await get('/api/calc')).calculators[0].name}`],
  };
}

/* Every address that the list of screens names, from the page itself. */
async function addresses(page) {
  const paths = await page.evaluate(async () => (await import('/js/screens.js')).screens.flatMap((s) => [s.path, ...(s.also ?? [])]));
  return paths.flatMap((path) => {
    if (!path.includes('{')) return [path];
    assert.ok(filled[path], `${path}: name an address for it in addressesOf()`);
    return filled[path];
  });
}

/* The screen has drawn what it asked for. */
async function settled(page) {
  await page.locator('main > *').first().waitFor();
  await page.evaluate((ms) => new Promise((resolve) => {
    let timer = setTimeout(resolve, ms);
    new MutationObserver(() => {
      clearTimeout(timer);
      timer = setTimeout(resolve, ms);
    }).observe(document.querySelector('main'), { childList: true, subtree: true, characterData: true });
  }), QUIET_MS);
  await page.waitForFunction(() => !/^(Loading|Cargando)/.test(document.querySelector('main').innerText.trim()));
}

/* What is wrong with the room that things have, as short texts. */
function cutOff(page) {
  return page.evaluate(() => {
    const root = document.documentElement;
    const found = [];
    if (root.scrollWidth > root.clientWidth + 1) found.push(`the page is ${root.scrollWidth} px wide`);
    const hides = (value) => value === 'hidden' || value === 'clip';
    for (const el of document.querySelectorAll('#app *')) {
      const style = getComputedStyle(el);
      const box = el.getBoundingClientRect();
      if (!box.width || el.closest('.unseen, svg') || style.visibility === 'hidden') continue;
      const own = [...el.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
      const wide = hides(style.overflowX) && el.scrollWidth > el.clientWidth + 1;
      const high = hides(style.overflowY) && el.scrollHeight > el.clientHeight + 3;
      if (own && (wide || high)) found.push(`cut off: ${el.tagName}.${el.className} "${el.textContent.trim().slice(0, 40)}"`);
      const scrolls = el.parentElement.closest('.table-frame, .waters, .ways, [tabindex="0"]');
      if (own && !scrolls && box.right > root.clientWidth + 1) found.push(`over the side: ${el.tagName}.${el.className} "${el.textContent.trim().slice(0, 40)}"`);
    }
    return found;
  });
}

/* A page as long as it is: else what is half under the way between screens counts as too small. */
async function setSize(page, { width, height }) {
  await page.setViewportSize({ width, height });
  const whole = await page.evaluate(() => document.documentElement.scrollHeight);
  if (whole > height) await page.setViewportSize({ width, height: whole + 200 });
  await page.evaluate(() => new Promise((done) => { requestAnimationFrame(() => requestAnimationFrame(done)); })); // pictures are drawn anew
}

/* Colours are the same at every size, and the phone is looked at whole in Spanish. */
async function checkSizes(page, path) {
  for (const theme of THEMES) {
    await page.evaluate((name) => { document.documentElement.dataset.theme = name; }, theme);
    assert.deepEqual(await axeFindings(page, theme === 'light' ? undefined : ['color-contrast']), [], `${path} ${theme}`);
  }
  for (const [size, viewport] of Object.entries(SIZES)) {
    await setSize(page, viewport);
    assert.deepEqual(await cutOff(page), [], `${path} ${size}`);
    if (size !== 'desk') assert.deepEqual(await smallTargets(page), [], `${path} ${size}`);
  }
}

test('every_screen_can_be_read_and_pressed_in_every_theme_at_every_size', async (context) => {
  const ines = (await service.get('/api/staff?limit=1')).items[0].id;
  const english = await browser.newTablet(service, { staff: ines });
  const spanish = await browser.newTablet(service, { staff: ines, language: 'es', size: { viewport: SIZES.phone, hasTouch: true } });
  await english.open('/more');
  for (const [i, path] of (await addresses(english.page)).entries()) {
    if (process.env.ONLY && !path.includes(process.env.ONLY)) continue;
    await context.test(path, async () => {
      await english.page.setViewportSize(SIZES.tablet);
      await english.open(path);
      await settled(english.page);
      await setSize(english.page, SIZES.tablet);
      await checkSizes(english.page, path);
      if (i % 3 && !process.env.WEIRBOOK_LONG) return; // each third in Spanish: every screen's own tests read it in both languages
      await spanish.open(path);
      await settled(spanish.page);
      await setSize(spanish.page, SIZES.phone);
      assert.equal(await spanish.page.evaluate(() => document.documentElement.lang), 'es');
      assert.deepEqual(await axeFindings(spanish.page), [], `${path} phone es`);
      assert.deepEqual(await cutOff(spanish.page), [], `${path} phone es`);
    });
  }
  assert.deepEqual([...english.faults, ...spanish.faults], []);
});
