/*
 * The manual says what is there: each word it puts in heavy type stands in the catalogue, each link leads to a screen, each
 * picture shows a screen that can still be reached and words that are still used.
 */
import assert from 'node:assert/strict';
import { existsSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { CATALOGUES, makeDemo, WALKS, walkAll, wordsShown } from './manual-walks.mjs';
import { axeFindings, DESK, PHONE, smallTargets, startBrowser, startService, TABLET } from './support.mjs';

const source = process.env.WEIRBOOK_SOURCE;
const { readManual, readPictures } = await import(pathToFileURL(join(source, 'web/manual.mjs')));
const dir = join(source, 'docs/manual');
const MOST_BYTES = 1.5e6;
const manual = readManual(dir);
const pictures = readPictures(dir);
const LETTERS = 3; // of a text with gaps: "{one} or {other}" would fit anything
const AGAIN = 'take it anew: make manual-pictures';

let demo;
before(async () => { demo = await makeDemo(); });
after(() => demo.remove());

const escaped = (text) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
const leavesOf = (node) => (typeof node === 'string' ? [node] : Object.values(node).flatMap(leavesOf));
const leaves = Object.fromEntries(Object.entries(CATALOGUES).map(([language, parts]) => [language, parts.flatMap(leavesOf)]));
/** Everything of a kind within the blocks of a page. */
function all(node, kind) {
  if (!Array.isArray(node)) return [];
  if (node[0] === kind && typeof node[1] === 'string') return [node];
  return node.flatMap((child) => all(child, kind));
}
const pagesOf = (language) => Object.entries(manual[language]);
const eachPage = (see) => Object.keys(manual).flatMap((language) => pagesOf(language).flatMap(([name, page]) => see(language, name, page).map((what) => `${language}/${name}.md: ${what}`)));

test('both_languages_have_the_same_pages_steps_and_pictures', () => {
  assert.deepEqual(Object.keys(manual).sort(), Object.keys(CATALOGUES).sort());
  assert.ok(pagesOf('en').length >= 14);
  const shape = (page) => page.blocks.map(([kind, what]) => `${kind}${['step', 'item'].includes(kind) ? ` ${what.length}` : ''}${kind === 'picture' ? ` ${what}` : ''}`);
  for (const [name, page] of pagesOf('en')) assert.deepEqual(shape(manual.es[name]), shape(page), name);
  assert.deepEqual(Object.keys(manual.es), Object.keys(manual.en));
});

test('each_word_in_heavy_type_stands_in_the_catalogue', () => {
  for (const language of Object.keys(manual)) {
    const patterns = leaves[language].filter((text) => !text.includes('{') || (text.replace(/\{\w+\}/g, '').match(/\p{L}/gu) ?? []).length >= LETTERS).map((text) => new RegExp(`^${text.split(/\{\w+\}/).map(escaped).join('.+')}$`));
    const named = pagesOf(language).flatMap(([name, page]) => all(page.blocks, 'b').map(([, word]) => [name, word]));
    assert.ok(named.length > 80, `${named.length} words`);
    assert.deepEqual(named.filter(([, word]) => !patterns.some((p) => p.test(word))).map((one) => `${language}/${one.join('.md: ')}`), []);
  }
});

test('each_link_leads_to_a_page_or_a_screen', async () => {
  const text = readFileSync(new URL('../../web/js/screens.js', import.meta.url), 'utf8');
  const paths = [...text.matchAll(/path: '([^']+)'(?:, also: \['([^']+)'\])?/g)].flatMap((m) => m.slice(1)).filter((path) => path).filter((path) => !path.startsWith('/farm/{kind}') && path !== '/manual/{page}' && !path.startsWith('/tanks/{'));
  const service = await startService();
  const { kinds } = await service.get('/api/record');
  await service.stop();
  const leads = (to, language) => paths.includes(to) || (to.startsWith('/manual/') && manual[language][to.slice(8)]) || kinds.some((k) => to === `/farm/${k.name}` || to === `/farm/${k.name}/new`);
  assert.ok(paths.length > 15);
  assert.deepEqual(eachPage((language, name, page) => all(page.blocks, 'a').map(([, to]) => to).filter((to) => !leads(to, language))), []);
  for (const language of Object.keys(manual)) {
    const listed = all(manual[language].index.blocks, 'a').map(([, to]) => to.slice(8));
    assert.deepEqual([...listed].sort(), Object.keys(manual[language]).filter((name) => name !== 'index').sort(), 'the contents name every page');
  }
});

test('each_page_where_work_can_hurt_has_its_caution', () => {
  for (const language of Object.keys(manual)) {
    for (const name of ['first-day', 'morning-round', 'trouble', 'feeding', 'water', 'weighing', 'sowing-to-harvest', 'packing', 'tablets']) {
      assert.ok(manual[language][name].blocks.some(([kind]) => kind === 'care'), `${language}/${name}`);
    }
  }
});

test('each_picture_is_there_and_all_are_small', () => {
  const named = eachPage((language, name, page) => page.blocks.filter(([kind]) => kind === 'picture').map(([, what]) => what)).map((one) => one.split('/')[0] + one.split('.md: ')[1].replace(/^/, ' '));
  const taken = WALKS.flatMap(({ name }) => Object.keys(CATALOGUES).map((language) => `${language} ${name}`));
  assert.deepEqual([...new Set(named)].sort(), taken.sort(), 'pages name the pictures that are walked to');
  const files = taken.map((one) => join(dir, 'pictures', `${one.replace(' ', '/')}.webp`));
  assert.deepEqual(files.filter((file) => !existsSync(file)), []);
  assert.ok(files.reduce((sum, file) => sum + statSync(file).size, 0) < MOST_BYTES);
});

test('each_picture_shows_words_that_are_still_used', () => {
  for (const language of Object.keys(CATALOGUES)) {
    const used = new Set(leaves[language]);
    for (const { name } of WALKS) assert.deepEqual(pictures[name][language].words.filter((word) => !used.has(word)), [], `${language} ${name}: ${AGAIN}`);
  }
});

/* The same ways in either language, on a tablet and at a desk: all but the first are for a long run. */
const RUNS = process.env.WEIRBOOK_LONG ? [['en'], ['es'], ['en', TABLET], ['es', TABLET], ['en', DESK], ['es', DESK]] : [['en']];
for (const [language, size] of RUNS) {
  test(`each_picture_s_screen_can_be_reached_${language}${size ? `_${size.viewport.width}` : ''}`, { timeout: 400000 }, async () => {
    const reached = [];
    await walkAll(language, demo, async ({ name, page, faults }) => {
      reached.push(name);
      assert.deepEqual(faults, [], name);
      const here = await wordsShown(page, language);
      const share = pictures[name][language].words.filter((word) => here.includes(word)).length;
      // What is due, late or done differs by the day; most words of a screen do not, at the size of its picture.
      if (size) assert.ok(share > 0, `${name} shows ${here.join(', ')}`);
      else assert.ok(share * 2 >= pictures[name][language].words.length, `${name} shows ${here.join(', ')}, its picture ${pictures[name][language].words.join(', ')}: ${AGAIN}`);
    }, { size });
    assert.deepEqual(reached, WALKS.map((walk) => walk.name));
  });
}

test('the_app_shows_the_manual_in_both_languages', async () => {
  const browser = await startBrowser();
  const service = await startService();
  try {
    for (const [language, size] of [['en', TABLET], ['es', PHONE]]) {
      const { page, open, faults, context } = await browser.newTablet(service, { language, size });
      await open('/more');
      await page.getByRole('link', { name: /^Manual/ }).click();
      const { title, blocks } = manual[language].index;
      await page.getByRole('heading', { level: 1, name: title }).waitFor();
      await page.getByRole('link', { name: all(blocks, 'a')[0][2][0] }).click();
      const picture = page.locator('.manual img').first();
      await picture.scrollIntoViewIfNeeded();
      await page.waitForFunction(() => document.querySelector('.manual img')?.naturalWidth > 400);
      assert.ok(await page.locator('.manual .care').count() > 0);
      assert.equal(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true, 'nothing is wider than the screen');
      assert.deepEqual(await axeFindings(page), []);
      await page.setViewportSize({ width: size.viewport.width, height: 6000 });
      assert.deepEqual(await smallTargets(page), []);
      assert.deepEqual(faults, []);
      await context.close();
    }
  } finally {
    await browser.stop();
    await service.stop();
  }
});

test('a_page_of_the_manual_opens_without_the_network', async () => {
  const browser = await startBrowser();
  const service = await startService();
  try {
    const { page, open, context } = await browser.newTablet(service, {});
    await open('/manual');
    await page.locator('.manual').waitFor();
    await context.setOffline(true);
    await page.getByRole('link', { name: manual.en.trouble.title }).first().click();
    await page.getByRole('heading', { level: 1, name: manual.en.trouble.title }).waitFor();
    assert.match(await page.locator('.manual').innerText(), /Nobody works alone/);
  } finally {
    await browser.stop();
    await service.stop();
  }
});
