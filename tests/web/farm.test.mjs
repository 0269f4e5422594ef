/*
 * Farm: lists, forms and history of all kinds, drawn from the dictionary, against the real service.  One service
 * serves the file: each test has rows of its own.
 */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, DESK, daysAgo, eventually, minutesAgo, prepare, smallTargets, TABLET } from './support.mjs';

let service;
let browser;
let ids;
let tablet;
let page;
prepare((now) => { ({ service, browser, ids, tablet, page } = now); }, { once: true, tablet: { size: DESK } });

const field = (name) => page.locator(`#f-${name}`);
const button = (name) => page.getByRole('button', { name, exact: true });
const focused = () => page.evaluate(() => document.activeElement.name || document.activeElement.id || document.activeElement.tagName);
const openForm = async (path) => {
  await tablet.open(path);
  await page.locator('form.record-form').waitFor();
};
/** Presses Save and resolves to the request that it sends, {headers, body}. */
async function saved(method = 'PATCH') {
  const [request] = await Promise.all([page.waitForRequest((r) => r.method() === method), button('Save').click()]);
  return { headers: request.headers(), body: request.postDataJSON() };
}
const recorded = () => page.locator('.notice', { hasText: 'in the record' }).waitFor();
const plain = (text) => text.replaceAll('\u00a0', ' ');
const historyText = async () => plain(await page.getByRole('region', { name: 'History' }).innerText());
const feeding = (fields) => service.post('/api/feedings', { tank_id: ids.T1, feed_id: ids.feed, amount_g: 1420, confirm: true, ...fields });

test('a_new_entry_is_made_with_the_keyboard_alone', async () => {
  await openForm('/farm/weighings/new');
  await eventually(async () => (await focused()) === 'tank_id'); // the first that is empty
  for (const [name, typed] of [['tank_id', 'T1'], ['fish_lot_id', 'F00'], ['fish', '50'], ['weight_g', '10500']]) {
    assert.equal(await focused(), name);
    await page.keyboard.type(typed);
    await page.keyboard.press('Tab');
  }
  await page.keyboard.press('Enter');
  await page.waitForURL('**/farm/weighings');
  const [kept, ...more] = await service.entries('weighings');
  assert.deepEqual(more, []);
  assert.deepEqual([kept.tank_id, kept.fish_lot_id, kept.fish, kept.weight_g, kept.staff_id], [ids.T1, ids['lot-T1'], 50, 10500, ids.ines]);
  assert.ok(Date.now() - Date.parse(kept.at) < 120e3, kept.at);
  await page.getByRole('region', { name: 'Weighings' }).getByText(/^10\.5\d?\skg$/).waitFor();
});

test('save_and_another_begins_a_fresh_form', async () => {
  await openForm('/farm/trays/new');
  await field('name').fill('Tray 72');
  await field('cells').fill('72');
  await button('Save and another').click();
  await eventually(async () => (await field('name').inputValue()) === '' && (await focused()) === 'name');
  assert.ok((await service.entries('trays')).some((t) => t.name === 'Tray 72' && t.cells === 72));
});

test('errors_stand_beside_their_fields_and_the_first_has_the_focus', async () => {
  const before = (await service.entries('feedings')).length;
  await openForm('/farm/feedings/new');
  await field('amount_g').fill('a lot');
  await button('Save').click();
  assert.equal(await focused(), 'tank_id');
  for (const name of ['tank_id', 'feed_id', 'amount_g']) {
    assert.equal(await field(name).getAttribute('aria-invalid'), 'true');
    assert.match(await field(name).getAttribute('aria-describedby'), new RegExp(`f-${name}-error`));
    assert.notEqual((await page.locator(`#f-${name}-error`).innerText()).trim(), '');
  }
  assert.equal(await page.locator('#f-amount_g-error').innerText(), '▲ Amount must be a number, like 30.');
  assert.equal(await field('amount_g').inputValue(), 'a lot'); // what was typed stays
  // and what only the service can know
  await field('tank_id').fill('T1');
  await field('feed_id').fill('Grower 36, 3 mm');
  await field('amount_g').fill('900');
  await field('at').fill(`${daysAgo(-2)}T08:00`);
  await button('Save').click();
  await page.locator('#f-at-error').waitFor();
  assert.equal(await focused(), 'at');
  assert.equal(await page.locator('[aria-invalid="true"]').count(), 1);
  assert.equal((await service.entries('feedings')).length, before);
});

test('a_correction_names_its_version_and_says_why', async () => {
  const made = await feeding({ at: minutesAgo(30), note: 'first' });
  await openForm(`/farm/feedings/${made.id}`);
  await field('amount_g').fill('1390');
  await page.locator('#f-why').fill('read the scale wrong');
  const { headers, body } = await saved();
  await recorded();
  assert.equal(headers['if-match'], '"1"');
  assert.deepEqual(body, { amount_g: 1390, change_why: 'read the scale wrong' });
  assert.equal((await service.get(`/api/feedings/${made.id}`)).amount_g, 1390);
  assert.equal(await page.locator('#f-why').inputValue(), '');
  const said = await historyText();
  for (const part of ['corrected', 'read the scale wrong', 'Amount: 1.42 kg', 'entered']) assert.ok(said.includes(part), said);
});

test('a_dose_has_a_why_of_its_own_and_its_correction_another', async () => {
  const lime = await service.post('/api/materials', { name: 'Lime', purpose: 'calcium' });
  const dose = await service.post('/api/doses', { loop_id: ids.loop, material_id: lime.id, amount_g: 500, at: minutesAgo(60), why: 'pH 6.4' });
  await openForm(`/farm/doses/${dose.id}`);
  await page.locator('textarea[name=why]').fill('pH 6.2');
  await page.locator('input[name=change_why]').fill('misread the meter');
  await saved();
  await recorded();
  assert.equal((await service.get(`/api/doses/${dose.id}`)).why, 'pH 6.2');
  const { items: [change] } = await service.get(`/api/changes?of_key=${dose.key}`);
  assert.equal(change.why, 'misread the meter');
});

test('a_dated_field_asks_from_which_day_on', async () => {
  await openForm(`/farm/tanks/${ids.T4}`);
  assert.equal(await page.locator('#f-from-day').count(), 0);
  await field('volume_l').fill('7000');
  await page.locator('#f-from-day').fill(daysAgo(3));
  await field('name').fill('Spare'); // not dated: always so
  await page.locator('#f-why').fill('raised the rim');
  await button('Save').click();
  await recorded();
  const row = await service.get(`/api/tanks/${ids.T4}`);
  assert.deepEqual([row.volume_l, row.name], [6000, 'Spare']);
  const [change] = (await service.get(`/api/set-up-changes?of_key=${row.key}`)).items;
  assert.deepEqual([change.field, change.value, change.from_day], ['volume_l', '7000', daysAgo(3)]);
  assert.match(plain(await page.locator('#f-volume_l-hint').innerText()), /^7,000 L from .* on\.$/);
  assert.match(await historyText(), /raised the rim\s+Volume: 7,000 L from/);
});

test('what_someone_else_changed_is_shown_and_what_was_typed_stays', async () => {
  const made = await feeding({ at: minutesAgo(200) });
  await openForm(`/farm/feedings/${made.id}`);
  await field('amount_g').fill('1300');
  await page.locator('#f-why').fill('spilt some');
  await service.patch(`/api/feedings/${made.id}`, { amount_g: 1500, appetite: 'slow' }, 1);
  await button('Save').click();
  const notice = page.locator('.notice.bad');
  await notice.getByText('Amount: was 1420, is 1500 now; you typed 1300.').waitFor();
  await notice.getByText('Appetite: was –, is slow now.').waitFor();
  assert.equal(await field('amount_g').inputValue(), '1300');
  assert.equal(await field('appetite').inputValue(), 'slow');
  assert.equal(await page.locator('#f-why').inputValue(), 'spilt some');
  assert.equal((await service.get(`/api/feedings/${made.id}`)).amount_g, 1500);
  await button('Save').click();
  await recorded();
  const now = await service.get(`/api/feedings/${made.id}`);
  assert.deepEqual([now.amount_g, now.appetite, now.version], [1300, 'slow', 3]);
});

test('the_present_record_can_be_taken_instead', async () => {
  const made = await feeding({ at: minutesAgo(220) });
  await openForm(`/farm/feedings/${made.id}`);
  await field('amount_g').fill('1300');
  await service.patch(`/api/feedings/${made.id}`, { amount_g: 1500 }, 1);
  await button('Save').click();
  await button('Load the present record').click();
  await eventually(async () => (await field('amount_g').inputValue()) === '1500');
  assert.equal(await page.locator('.notice.bad').count(), 0);
});

test('an_unlikely_entry_is_asked_about_and_kept_when_it_is_right', async () => {
  await openForm('/farm/weighings/new');
  for (const [name, typed] of [['tank_id', 'T2'], ['fish_lot_id', 'F01'], ['fish', '10'], ['weight_g', '9900']]) await field(name).fill(typed);
  await button('Save').click(); // 990 g each where 200 g were stocked
  await page.locator('dialog.ask').waitFor();
  await button('Back to the form').click();
  assert.equal(await field('weight_g').inputValue(), '9900');
  const inT2 = async () => (await service.entries('weighings')).filter((w) => w.tank_id === ids.T2);
  assert.deepEqual(await inT2(), []);
  await button('Save').click();
  await page.locator('dialog.ask').getByRole('button', { name: 'It is right, keep it' }).click();
  await page.waitForURL('**/farm/weighings');
  assert.deepEqual((await inT2()).map((w) => w.weight_g), [9900]);
});

test('striking_needs_a_why_and_restoring_takes_it_back_and_history_shows_all', async () => {
  const made = await feeding({ at: minutesAgo(90) });
  await openForm(`/farm/feedings/${made.id}`);
  await button('Strike out').click();
  await page.locator('#f-why-error').getByText('Say why this is struck out.').waitFor();
  assert.equal(await focused(), 'change_why');
  await page.keyboard.type('logged twice');
  await page.waitForTimeout(400); // a second press within 400 ms is taken for a ghost touch
  await button('Strike out').click();
  await page.getByText(/Struck out .*: logged twice/).waitFor();
  assert.equal((await service.get(`/api/feedings/${made.id}`)).struck_why, 'logged twice');
  await page.locator('#f-why').fill('it was another feeding');
  await page.waitForTimeout(400);
  await button('Restore').click();
  await button('Strike out').waitFor();
  assert.equal((await service.get(`/api/feedings/${made.id}`)).struck_at, undefined);
  const lines = (await historyText()).split('\n').slice(1).map((line) => line.split('\t').slice(1).filter(Boolean).join('|'));
  assert.deepEqual(lines, ['restored|it was another feeding', 'struck out|logged twice', 'entered']);
});

test('while_the_service_is_away_what_was_typed_of_the_set_up_stays', async () => {
  await openForm('/farm/partners/new');
  await field('name').fill('Mill Haulage');
  await field('role').selectOption('hauler');
  await page.route('**/api/partners', (route) => (route.request().method() === 'POST' ? route.abort() : route.continue()));
  await button('Save').click();
  await page.getByText(/nothing was kept/).waitFor();
  assert.equal(await field('name').inputValue(), 'Mill Haulage');
  await page.unroute('**/api/partners');
  await button('Save').click();
  await page.waitForURL('**/farm/partners');
  assert.equal((await service.entries('partners')).filter((p) => p.name === 'Mill Haulage').length, 1);
});

test('while_the_service_is_away_an_entry_is_kept_and_arrives_once', async () => {
  await openForm('/farm/handovers/new');
  const name = await page.locator('.form-fields textarea').first().getAttribute('name');
  await field(name).fill('pump is loud');
  await page.route('**/api/{handovers,batch}', (route) => (route.request().method() === 'POST' ? route.abort() : route.continue()));
  await button('Save').click();
  await page.waitForURL('**/farm/handovers');
  await page.locator('.kept-here').getByText('kept on this tablet').waitFor();
  assert.equal((await service.entries('handovers')).length, 0);
  await page.unroute('**/api/{handovers,batch}');
  const [kept] = await service.kept('handovers', 1);
  assert.equal(kept[name], 'pump is loud');
});

test('an_order_has_its_lines_on_its_own_page_and_prices_are_typed_as_money', async () => {
  const partner = await service.post('/api/partners', { name: 'Corner Kitchen', role: 'customer' });
  const product = await service.post('/api/products', { code: 'P1', name: 'Head lettuce', variety_id: ids.variety, unit: 'head' });
  const order = await service.post('/api/orders', { code: 'O1', partner_id: partner.id, wanted_on: daysAgo(-3), at: minutesAgo(5) });
  await openForm(`/farm/orders/${order.id}`);
  await page.getByRole('link', { name: 'New: Order line' }).click();
  await eventually(async () => (await field('order_id').inputValue()) === 'O1');
  await field('product_id').fill('P1');
  await field('packs').fill('12');
  await field('price_minor').fill('2.5');
  await button('Save').click();
  await page.waitForURL(`**/farm/orders/${order.id}`);
  const lines = page.getByRole('region', { name: 'Order lines' });
  await lines.getByText('P1').waitFor();
  assert.match(await lines.innerText(), /\t12\t.*2\.50/);
  assert.deepEqual((await service.entries('order-lines')).map((l) => [l.order_id, l.product_id, l.packs, l.price_minor]), [[order.id, product.id, 12, 250]]);
});

test('a_day_beside_a_time_cannot_disagree_with_it_unsaid', async () => {
  const made = await feeding({ at: minutesAgo(300) });
  await openForm(`/farm/feedings/${made.id}`);
  assert.equal(await field('day').inputValue(), ''); // the time says it
  await field('day').fill(daysAgo(4));
  await button('Save').click();
  await page.locator('#f-day-error').getByText(/That time belongs to/).waitFor();
  await field('at').fill('');
  await button('Save').click();
  await recorded();
  const now = await service.get(`/api/feedings/${made.id}`);
  assert.deepEqual([now.at, now.day], [undefined, daysAgo(4)]);
});

test('a_row_that_is_not_there_is_said_with_a_way_back', async () => {
  await tablet.open('/farm/tanks/99999');
  await page.getByText('This is not in the record.').waitFor();
  await page.locator('.notice').getByRole('link', { name: 'Tanks' }).click();
  await page.waitForURL('**/farm/tanks');
});

/* 1,100 water tests in S1, one a minute; the oldest has a note.  Made once. */
let made = null;
async function makeLongList() {
  const entry = (n) => ({ kind: 'water-tests', place_id: ids.S1, at: minutesAgo(6000 + n), ph: 6.8, queued: true, ...(n === 1099 ? { note: 'before the flood' } : {}) });
  for (let from = 0; from < 1100; from += 500) {
    const { answers } = await service.post('/api/batch', { entries: Array.from({ length: Math.min(500, 1100 - from) }, (_, i) => entry(from + i)) });
    assert.deepEqual(answers.filter((a) => a.status !== 201), []);
  }
}
const longList = () => { made ??= makeLongList(); return made; };
const list = () => page.locator('table.rows');
const said = (text) => page.locator('.said-days').getByText(text, { exact: true }).waitFor();

test('a_long_list_has_pages_and_filters', async () => {
  await longList();
  await tablet.open('/farm/water-tests');
  await said('Rows 1 to 50, newest first');
  const newest = await list().locator('tbody th').first().innerText();
  await button('Older').click();
  await said('Rows 51 to 100, newest first');
  assert.notEqual(await list().locator('tbody th').first().innerText(), newest);
  await button('Newer').click();
  await said('Rows 1 to 50, newest first');
  assert.equal(await list().locator('tbody th').first().innerText(), newest);
  assert.equal(await button('Newer').isDisabled(), true);
  await page.getByLabel('Place').selectOption({ label: 'T1' });
  await said('1 row');
  assert.match(page.url(), new RegExp(`place_id=${ids.T1}`));
  await page.reload(); // the filter stands in the address
  await said('1 row');
  assert.match(await list().innerText(), /6\.4/);
  await page.getByLabel('Place').selectOption('');
  await page.getByLabel('To').fill(daysAgo(30));
  await page.getByText('Nothing fits these filters.').waitFor();
});

test('a_row_added_where_one_tanks_are_listed_is_of_that_tank', async () => {
  await tablet.open(`/farm/feedings?tank_id=${ids.T2}`);
  await page.getByRole('link', { name: 'New: Feeding' }).first().click();
  await page.locator('form [name=tank_id]').waitFor();
  assert.equal(await page.locator('form [name=tank_id]').inputValue(), 'T2');
});

test('only_struck_rows_are_shown_on_request', async () => {
  const made = await service.post('/api/fish-counts', { tank_id: ids.T1, fish_lot_id: ids['lot-T1'], counted: 999, at: minutesAgo(3) });
  await service.post('/api/fish-counts', { tank_id: ids.T1, fish_lot_id: ids['lot-T1'], counted: 1000, at: minutesAgo(2) });
  await service.post(`/api/fish-counts/${made.id}/strike`, { why: 'miscounted' });
  await tablet.open('/farm/fish-counts');
  await said('1 row');
  assert.match(await list().innerText(), /1,000/);
  await button('Only struck out').click();
  await list().getByText('struck out').waitFor();
  assert.match(await list().innerText(), /999/);
});

test('slash_searches_and_says_how_far_it_looked', async () => {
  await longList();
  await tablet.open('/farm/water-tests');
  await said('Rows 1 to 50, newest first');
  await page.keyboard.press('/');
  await page.keyboard.type('Before the flood');
  await said('0 rows found in rows 1 to 1,000, newest first.');
  await button('Search older').click();
  await list().getByText('before the flood').waitFor();
  await said(/^1 row found in rows 1,001 to 1,10\d, newest first\.$/);
});

test('escape_leaves_and_asks_before_it_loses_anything', async () => {
  await tablet.open('/farm');
  await page.locator('.kinds').first().waitFor();
  await page.keyboard.press('/');
  await page.keyboard.type('weigh');
  await eventually(async () => (await page.locator('.kinds .kind').allInnerTexts()).join() === 'Weighings');
  await page.locator('.kinds .kind').click();
  await page.waitForURL('**/farm/weighings');
  await page.getByRole('link', { name: 'New: Weighing' }).click();
  await field('tank_id').waitFor();
  await page.keyboard.press('Escape');
  await page.waitForURL('**/farm/weighings'); // nothing was typed: nothing is asked
  await page.getByRole('link', { name: 'New: Weighing' }).click();
  await field('fish').fill('12');
  await page.keyboard.press('Escape');
  await page.locator('dialog.ask').waitFor();
  await button('Back to the form').click();
  assert.equal(await field('fish').inputValue(), '12');
  await page.keyboard.press('Escape');
  await button('Leave without saving').click();
  await page.waitForURL('**/farm/weighings');
  await page.getByRole('link', { name: 'New: Weighing' }).waitFor(); // the list stands, and hears keys
  await page.keyboard.press('Escape');
  await page.waitForURL('**/farm');
});

test('the_history_of_all_rows_is_in_words_and_leads_to_them', async () => {
  const made = await feeding({ at: minutesAgo(400) });
  await service.patch(`/api/feedings/${made.id}`, { tank_id: ids.T2, change_why: 'wrong tank' }, 1);
  await tablet.open('/farm/changes');
  const line = page.locator('tr', { hasText: 'wrong tank' });
  await line.waitFor();
  assert.match(await line.innerText(), /Feeding\tcorrected\t.*Tank: T1/);
  await line.getByRole('link').click();
  await field('amount_g').waitFor();
  assert.equal(await field('tank_id').inputValue(), 'T2');
});

test('the_tag_of_a_packed_answer_is_good_for_a_correction', async () => {
  const made = await feeding({ at: minutesAgo(500), note: 'x'.repeat(1900) });
  const address = `${service.base}/api/feedings/${made.id}`;
  const got = await fetch(address, { headers: { 'Accept-Encoding': 'gzip' } });
  await got.json();
  assert.equal(got.headers.get('content-encoding'), 'gzip');
  const correct = (tag) => fetch(address, { method: 'PATCH', headers: { 'Content-Type': 'application/json', 'X-Weirbook': '1', 'If-Match': tag }, body: '{"amount_g":1400}' });
  const kept = await correct(got.headers.get('etag'));
  assert.equal(kept.status, 200);
  assert.equal((await kept.json()).amount_g, 1400);
  assert.equal((await correct(got.headers.get('etag'))).status, 412); // it names the version before
});

/* As tall as the longest screen: nothing lies under the bar at the foot. */
const TALL = { ...TABLET, viewport: { width: 800, height: 4200 } };
const SCREENS = ['/farm', '/farm/feedings/new', '/farm/feedings', '/farm/tanks', '/farm/changes', '/farm/water-tests/new'];
for (const theme of ['light', 'dark', 'sun']) {
  test(`nothing_serious_for_those_who_hear_or_press_keys_in_${theme}`, async () => {
    const one = await browser.newTablet(service, { staff: ids.ines, theme, size: TALL });
    for (const path of theme === 'light' ? SCREENS : SCREENS.slice(0, 3)) {
      await one.open(path);
      await one.page.locator('.desk').waitFor();
      if (path.endsWith('/new')) {
        await one.page.getByRole('button', { name: 'Save', exact: true }).click();
        await one.page.locator('.field-error').first().waitFor();
      }
      assert.deepEqual(await axeFindings(one.page, theme === 'light' ? undefined : ['color-contrast']), [], path); // the theme changes nothing else
      if (theme !== 'dark') assert.deepEqual(await smallTargets(one.page), [], path);
    }
    assert.deepEqual(one.faults, []);
    await one.context.close();
  });
}

const WITH_ROWS = ['feedings', 'tanks', 'water-tests', 'changes', 'set-up-changes', 'fish-moves', 'feeding-plans', 'order-lines'];
test('in_spanish_no_screen_falls_back_to_a_code_or_to_english', async () => {
  const one = await browser.newTablet(service, { staff: ids.maud, language: 'es', size: DESK });
  await one.open('/farm');
  await one.page.locator('.kinds').first().waitFor();
  const { kinds } = await service.get('/api/record');
  const raw = [];
  const paths = [...WITH_ROWS.map((name) => `/farm/${name}`), '/farm/import', ...kinds.filter((k) => k.class !== 'system').map((k) => `/farm/${k.name}/new`)];
  for (const path of paths) {
    const text = await one.page.evaluate(async (address) => {
      const { go } = await import('/js/router.js');
      go(address);
      while (!document.querySelector('main .desk')) await new Promise((resolve) => { requestAnimationFrame(resolve); });
      return `${document.title}\n${document.querySelector('main').innerText}\n${[...document.querySelectorAll('main option, main [aria-label]')].map((el) => el.getAttribute('aria-label') ?? el.textContent).join('\n')}`;
    }, path);
    for (const [found] of text.matchAll(/\b[a-z]+(?:_[a-z]+)+\b|\b(?:field|form|lists|choice|kind|error|unit)\.[a-z_.-]+|\{\w+\}|\b(?:undefined|null|NaN|Save|Cancel|needed|rows?|New)\b/g)) raw.push(`${path}: ${found}`);
  }
  assert.ok(paths.length > 60, `${paths.length} screens`);
  assert.deepEqual(raw, []);
  assert.deepEqual(one.faults, []);
  await one.context.close();
});
