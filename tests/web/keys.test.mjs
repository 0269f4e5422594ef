/*
 * The keys: what ? lists works where it is listed, and what works is listed; the work is done by Tab, Enter and Escape alone, the
 * focus is seen, and it goes on to where the work goes on.
 */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import en from '../../web/js/words/en.js';
import { axeFindings, daysAgo, DESK, eventually, prepare } from './support.mjs';

let service;
let ids;
let page;
let open;
let faults;
prepare((found) => {
  ({ service, ids, page } = found);
  ({ open, faults } = found.tablet);
}, { once: true, holder: 'maud', tablet: { size: DESK } });

const SCREENS = [...readFileSync(new URL('../../web/js/screens.js', import.meta.url), 'utf8').matchAll(/path: '([^']+)'/g)].map((m) => m[1]);
const PLACES = { '/at/{code}': '/at/T1', '/tanks/{code}': '/tanks/T1', '/beds/{code}': '/beds/B1', '/water/of/{code}': '/water/of/T1', '/water/{code}': '/water/P1', '/farm/{kind}': '/farm/feeds', '/farm/{kind}/new': '/farm/feeds/new', '/farm/{kind}/{id}': '/farm/feeds/1', '/s/{code}': '/s/NOWHERE' };
const ADDRESSES = [...SCREENS.map((path) => PLACES[path] ?? path), '/calc/density', '/manual/feeding', '/no-such-screen'];
const path = () => new URL(page.url()).pathname;
const here = () => page.evaluate(() => {
  const el = document.activeElement;
  const ring = el && el !== document.body && getComputedStyle(el);
  return { tag: el?.tagName ?? '', name: el?.name ?? '', type: el?.type ?? '', text: (el?.getAttribute('aria-label') ?? el?.textContent ?? '').trim().slice(0, 60), seen: Boolean(ring) && ring.outlineStyle === 'solid' && parseFloat(ring.outlineWidth) >= 3 };
});
const isText = ({ tag, type }) => tag === 'TEXTAREA' || tag === 'SELECT' || (tag === 'INPUT' && !['checkbox', 'radio', 'range', 'button', 'file'].includes(type));
const settled = async (address) => {
  await open(address);
  await page.locator('main :is(.desk, .notice, .round, .at, .board, .trouble-page, .manual, .begin)').first().waitFor();
  let before;
  await eventually(async () => { // a list that is still to come takes the place of what says so, and the focus with it
    const now = await page.locator('main').innerText();
    const same = now === before;
    before = now;
    return same;
  });
  const where = await here();
  if (isText(where)) await page.evaluate(() => document.activeElement.blur());
};
/* What the list says now, {key: what it does}; the list is closed again. */
async function listed() {
  await page.keyboard.press('?');
  await page.locator('dialog.keys[open] .keys-list > div').first().waitFor();
  const rows = await page.locator('dialog.keys .keys-list > div').evaluateAll((all) => all.map((row) => [[...row.querySelectorAll('kbd')].map((k) => k.textContent), row.querySelector('dd').textContent]));
  await page.keyboard.press('Escape');
  await page.locator('dialog.keys').waitFor({ state: 'detached' });
  return rows.flatMap(([keys, said]) => keys.map((key) => [key, said]));
}
/* Tabs on until the focus is on what `text` names; each stop on the way must be seen. */
async function tabTo(text, tag = 'BUTTON') {
  for (let i = 0; i < 90; i += 1) {
    await page.keyboard.press('Tab');
    const where = await here();
    if (where.tag === tag && where.text.startsWith(text)) return where;
  }
  throw new Error(`Tab does not come to "${text}"`);
}

test('escape_and_the_slash_do_on_every_screen_what_the_list_says', async () => {
  assert.ok(ADDRESSES.length > 35);
  const wrong = [];
  for (const address of ADDRESSES) {
    await settled(address);
    const keys = new Map(await listed());
    if (!['Tab', 'Shift+Tab', 'Enter', '?'].every((key) => keys.has(key))) wrong.push(`${address}: ${[...keys.keys()]}`);
    await page.keyboard.press('Escape');
    await page.waitForTimeout(80);
    if ((path() !== address) !== keys.has('Esc')) wrong.push(`${address}: Esc leads to ${path()}, the list says ${keys.get('Esc')}`);
    if (await page.locator('dialog[open]').count()) wrong.push(`${address}: Esc asks although nothing was typed`);
    if (path() !== address) await settled(address);
    await page.keyboard.press('/');
    await eventually(async () => isText(await here())).catch(() => wrong.push(`${address}: / comes to no field`));
    const found = await here();
    const expected = keys.get('/') === en.keys.search_here ? found.type === 'search' && path() === address : found.name === 'code' && path().startsWith('/s');
    if (!expected) wrong.push(`${address}: / comes to ${JSON.stringify(found)} on ${path()}, the list says ${keys.get('/')}`);
    await page.keyboard.type('a/?'); // in a field they are letters
    if ((await page.evaluate(() => document.activeElement.value)).slice(-3) !== 'a/?') wrong.push(`${address}: a/? is not typed`);
  }
  assert.deepEqual(wrong, []);
  assert.deepEqual(faults, []);
});

test('a_key_that_is_not_listed_does_nothing', async () => {
  await settled('/');
  const sent = [];
  const note = (request) => { if (request.method() !== 'GET' && !request.url().endsWith('/api/several')) sent.push(`${request.method()} ${request.url()}`); };
  page.on('request', note);
  const entries = () => page.locator('main .entry').evaluateAll((all) => all.map((el) => el.getAttribute('aria-label')));
  const before = await entries();
  await page.locator('main').focus();
  for (const key of 'abcdefghijklmnopqrstuvwxyz0123456789=-+*#') await page.keyboard.press(key);
  await page.keyboard.press('Control+z'); // nothing was entered
  await page.waitForTimeout(300);
  page.off('request', note);
  assert.equal(path(), '/');
  assert.equal(await page.locator('dialog[open], .undo').count(), 0);
  assert.equal(await page.evaluate(() => document.activeElement.id), 'main');
  assert.ok(before.length > 4);
  assert.deepEqual(await entries(), before);
  assert.deepEqual(sent, []);
});

test('a_round_is_fed_by_enter_and_the_focus_goes_to_the_next_tank', async () => {
  await settled('/');
  const first = await tabTo('Feed 1.42');
  assert.ok(first.seen, JSON.stringify(first));
  assert.ok(!new Map(await listed()).has('Ctrl+Z'));
  assert.equal((await here()).text, first.text, 'the list gives the focus back');
  await page.keyboard.press('Enter');
  const [fed] = await service.kept('feedings', 1);
  await eventually(async () => (await page.locator('.then .done .mark.ok').count()) > 0);
  const next = await here();
  assert.ok(next.tag === 'BUTTON' && next.seen, `the focus is lost: ${JSON.stringify(next)}`);
  const stop = await page.evaluate(() => document.activeElement.closest('.entry')?.getAttribute('aria-label'));
  assert.ok(stop && stop !== 'T1', `still at ${stop}`);
  assert.equal(new Map(await listed()).get('Ctrl+Z'), en.keys.undo);
  await page.waitForTimeout(700); // the bar takes nothing in its first instant
  await page.keyboard.press('Control+z');
  await eventually(async () => (await service.entries('feedings')).length === 0);
  assert.ok(fed.id);
});

test('the_undo_bar_shows_its_focus_and_gives_it_to_the_screen', async () => {
  await settled('/');
  await tabTo('Feed 1.42');
  await page.keyboard.press('Enter');
  await page.locator('.undo').waitFor();
  await page.keyboard.press('Tab'); // the keys were last, so the ring is shown
  await page.locator('.undo button').focus();
  const looks = await page.locator('.undo button').evaluate((el) => [getComputedStyle(el).outlineColor, getComputedStyle(el.closest('.undo')).backgroundColor]);
  const light = (text) => text.match(/\d+/g).slice(0, 3).map((v) => v / 255).map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)).reduce((sum, v, i) => sum + v * [0.2126, 0.7152, 0.0722][i], 0);
  const [a, b] = looks.map(light).sort((x, y) => y - x);
  assert.ok((a + 0.05) / (b + 0.05) >= 3, looks.join()); // WCAG 2.2, 1.4.11
  await page.waitForTimeout(700);
  await page.keyboard.press('Enter');
  await eventually(async () => (await service.entries('feedings')).length === 0);
  assert.equal(await page.evaluate(() => document.activeElement.id), 'main');
});

test('at_the_tank_a_panel_is_opened_answered_and_left_by_keys', async () => {
  await settled('/at/T1');
  await tabTo('Dead');
  await page.keyboard.press('Enter');
  await page.locator('.at-acts .counts').waitFor();
  assert.deepEqual([(await here()).text, (await here()).seen], ['1', true], 'the first answer has the focus');
  await page.keyboard.press('Escape');
  await page.locator('.act-grid').waitFor();
  assert.equal(path(), '/at/T1', 'Escape closes the panel first');
  const back = await here();
  assert.ok(back.tag === 'BUTTON' && back.seen, JSON.stringify(back));
  await tabTo('Dead');
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter'); // two
  await eventually(async () => (await service.entries('fish-deaths')).length === 1);
  await page.locator('.at-acts .panel .choices').waitFor(); // what from?
  assert.ok((await here()).seen && await page.evaluate(() => Boolean(document.activeElement.closest('.panel'))), JSON.stringify(await here()));
  await page.keyboard.press('Enter');
  await eventually(async () => Boolean((await service.entries('fish-deaths'))[0].cause));
  assert.equal((await service.entries('fish-deaths'))[0].fish, 2);
  await page.keyboard.press('Escape');
  await eventually(() => path() === '/');
});

test('a_note_that_is_being_typed_is_not_lost_by_one_escape', async () => {
  await settled('/at/T2?do=note');
  await page.locator('.at-acts textarea').focus();
  await page.keyboard.type('Fish hang at the inflow');
  await page.keyboard.press('Escape');
  assert.equal(await page.locator('.at-acts textarea').inputValue(), 'Fish hang at the inflow');
  await page.keyboard.press('Escape');
  await page.locator('.at-acts textarea').waitFor({ state: 'detached' });
});

test('the_pad_lists_the_keys_it_takes', async () => {
  await settled('/at/T1');
  await tabTo('Water');
  await page.keyboard.press('Enter');
  await page.locator('dialog.pad[open]').waitFor();
  const keys = (await listed()).map(([key]) => key);
  assert.deepEqual(keys, ['0–9', '.', ',', 'Backspace', 'Enter', 'Tab', 'Shift+Tab', 'Esc', '?']);
  const values = () => page.locator('.pad-fields .pad-value').evaluateAll((all) => all.slice(0, 2).map((el) => el.firstChild.textContent + (el.textContent.match(/^[\d.,]*/)?.[0] ?? '')).map((text) => text.trim()));
  await page.keyboard.type('6,25');
  assert.match((await values())[0], /6\.25/);
  await page.keyboard.press('Backspace');
  await page.keyboard.press('Enter');
  await page.keyboard.type('25.8');
  assert.match((await values())[0], /6\.2\b/);
  assert.match((await values())[1], /25\.8/);
  await page.keyboard.press('-'); // no value here is below 0
  assert.doesNotMatch((await values())[1], /-/);
  for (let i = 0; i < 9; i += 1) if (await page.locator('dialog.pad[open]').count()) await page.keyboard.press('Enter');
  await eventually(async () => (await service.entries('water-tests')).some((e) => e.do_mg_l === 6.2 && e.temperature_c === 25.8));
  await page.locator('dialog.pad').waitFor({ state: 'detached' });
  const after = await here();
  assert.ok(after.text.startsWith('Water') && after.seen, `the focus comes back to the button that opened it: ${JSON.stringify(after)}`);
  await eventually(async () => { // a press while the reading is on its way does nothing
    await page.keyboard.press('Enter');
    await page.waitForTimeout(450);
    return page.locator('dialog.pad[open]').count();
  });
  await page.keyboard.press('Escape');
  await page.locator('dialog.pad').waitFor({ state: 'detached' });
  assert.equal((await here()).text.slice(0, 5), 'Water');
});

test('a_number_that_can_be_below_0_lists_its_sign_and_takes_it', async () => {
  await settled('/at/S1');
  await tabTo('Answer');
  await page.keyboard.press('Enter');
  await page.locator('dialog.pad[open]').waitFor();
  assert.ok((await listed()).some(([key]) => key === '-'));
  await page.keyboard.type('-4');
  assert.match(await page.locator('.pad-fields [aria-current] .pad-value').textContent(), /^-4/);
  await page.keyboard.press('Escape');
});

test('the_typing_screen_lists_its_own_keys', async () => {
  await settled(`/paper/type?sheet=day&day=${daysAgo(1)}&by=${ids.ines}`);
  await page.locator('main').focus();
  const keys = new Map(await listed());
  for (const [key, said] of [['Ctrl+Enter', 'type_keep'], ['↑', 'type_lines'], ['↓', 'type_lines'], ['=', 'type_plan'], ['x', 'type_done'], ['"', 'type_ditto']]) assert.equal(keys.get(key), en.keys[said], key);
  const cell = (line, name) => page.locator(`[data-line="${line}"] [data-cell="${name}"] input`);
  await page.locator('.paper-lines').waitFor();
  const tanks = await page.locator('.paper-line.tank').evaluateAll((all) => all.map((el) => el.dataset.line));
  await cell(tanks[0], 'dead').focus();
  await page.keyboard.press('ArrowDown');
  assert.ok(await cell(tanks[1], 'dead').evaluate((el) => el === document.activeElement) || await page.evaluate((line) => document.activeElement.closest('[data-line]').dataset.line === line, String(Number(tanks[0]) + 1)));
  await page.keyboard.press('ArrowUp');
  await cell(tanks[0], 'feed1').focus();
  await page.keyboard.type('=');
  assert.equal(await cell(tanks[0], 'feed1').inputValue(), '1.42');
  await cell(tanks[0], 'by').fill('M');
  await cell(tanks[1], 'by').focus();
  await page.keyboard.type('"');
  assert.equal(await cell(tanks[1], 'by').inputValue(), 'M');
  await cell(tanks[1], 'by').fill('');
  await cell(tanks[0], 'dead').focus();
  await page.keyboard.press('Control+Enter');
  await eventually(async () => (await service.entries('feedings')).some((e) => e.day === daysAgo(1)));
});

test('a_calculator_goes_to_its_result_by_enter', async () => {
  await settled('/calc/density');
  const keys = await listed();
  assert.ok(keys.some(([key, said]) => key === 'Enter' && said === en.keys.calc_enter));
  await page.locator('.calc-inputs input').first().focus();
  await page.keyboard.press('Enter');
  assert.notEqual((await here()).tag, 'INPUT');
  await page.keyboard.press('Escape');
  await eventually(() => path() === '/calc');
});

test('what_was_typed_of_a_new_farm_or_a_form_is_asked_about_before_it_is_left', async () => {
  for (const [address, field] of [['/begin', '#b-farm'], ['/farm/feeds/new', '#f-name']]) {
    await settled(address);
    await page.locator(field).focus();
    await page.keyboard.type('Reedham');
    await page.keyboard.press('Escape');
    const dialog = page.getByRole('dialog', { name: en.form.leave_title });
    await dialog.waitFor();
    await page.keyboard.press('Escape'); // stays
    await dialog.waitFor({ state: 'detached' });
    assert.equal(await page.locator(field).inputValue(), 'Reedham');
    assert.ok(await page.locator(field).evaluate((el) => el === document.activeElement), 'the focus is in the field again');
    await page.keyboard.press('Escape');
    await dialog.waitFor();
    await page.keyboard.press('Enter');
    await eventually(() => path() !== address);
  }
});

test('the_skip_link_leads_past_the_top_and_the_screen_stays', async () => {
  await settled('/tanks');
  await page.evaluate(() => document.activeElement?.blur());
  const table = await page.locator('table.tanks').elementHandle();
  await page.keyboard.press('Tab');
  assert.equal((await here()).text, en.top.skip);
  assert.ok(await page.locator('.skip').isVisible());
  await page.keyboard.press('Enter');
  assert.equal(await page.evaluate(() => document.activeElement.id), 'main');
  assert.ok(await table.evaluate((el) => el.isConnected), 'the screen was not drawn anew');
  await page.keyboard.press('Tab');
  assert.ok(await page.evaluate(() => Boolean(document.activeElement.closest('#main'))));
});

test('the_keys_go_through_a_desk_screen_in_the_order_in_which_it_is_read', async () => {
  await settled('/water');
  await page.evaluate(() => document.activeElement?.blur());
  const boxes = [];
  for (let i = 0; i < 60; i += 1) {
    await page.keyboard.press('Tab');
    const box = await page.evaluate(() => {
      const el = document.activeElement;
      const { top, bottom } = el.getBoundingClientRect();
      return { seen: !el.matches('.skip'), part: el.closest('.ways, #top, #main')?.id, column: el.closest('.water-places > div') ? [...el.closest('.water-places').children].indexOf(el.closest('.water-places > div')) : 0, top: top + scrollY, bottom: bottom + scrollY };
    });
    if (!box.part && box.seen) break;
    if (box.seen) boxes.push(box);
  }
  assert.deepEqual([...new Set(boxes.map((b) => b.part))], ['ways', 'top', 'main']);
  const back = boxes.filter((b, i) => i && b.part === boxes[i - 1].part && b.column === boxes[i - 1].column && b.bottom <= boxes[i - 1].top);
  assert.deepEqual(back, []);
});

test('sheets_of_the_top_give_the_focus_back', async () => {
  await settled('/tanks');
  for (const name of ['Maud', 'This tablet']) {
    await page.getByRole('button', { name, exact: true }).focus();
    await page.keyboard.press('Enter');
    await page.locator('dialog.sheet[open]').waitFor();
    assert.deepEqual((await listed()).map(([key]) => key), ['Tab', 'Shift+Tab', 'Enter', 'Esc', '?']);
    await page.keyboard.press('Escape');
    await page.locator('dialog.sheet[open]').waitFor({ state: 'detached' }).catch(() => {});
    assert.equal((await here()).text, name);
  }
});

test('more_leads_to_the_list_and_it_is_readable', async () => {
  await settled('/more');
  await tabTo(`?  ${en.more.keys}`.replace('  ', ' '));
  await page.keyboard.press('Enter');
  await page.locator('dialog.keys[open]').waitFor();
  assert.equal(await page.locator('dialog.keys h2').textContent(), en.keys.title);
  assert.deepEqual(await axeFindings(page), []);
  await page.keyboard.press('Escape');
  assert.match((await here()).text, new RegExp(en.more.keys));
});
