/* The manager's and sales' screens: what they show is what the reports give, cell by cell, and what they log changes it. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { axeFindings, daysAgo, DESK, eventually, seedFarm, smallTargets, startBrowser, startService, TABLET } from './support.mjs';

const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true };
const SCREENS = ['/tanks', '/tanks/T1', '/tanks/T4', '/tanks/T5', '/harvest', '/beds', '/water', '/more'];
let service;
let browser;
let ids;
let desk;
let page;

/* T1 weighed three times and fed between; T4 fed while empty; T5 whose fish nobody weighed; two lots on rafts, one in the nursery. */
async function seedDesk() {
  const make = async (kind, fields) => (await service.post(`/api/${kind}`, { ...fields, confirm: true })).id;
  for (const [days, weight_g] of [[15, 11000], [5, 13500], [2, 14300]]) await make('weighings', { tank_id: ids.T1, fish_lot_id: ids['lot-T1'], fish: 50, weight_g, day: daysAgo(days) });
  for (const days of [14, 13, 12, 11, 10, 9, 8, 7, 6, 4, 3, 1]) await make('feedings', { tank_id: ids.T1, feed_id: ids.feed, amount_g: 6000 + 10 * days, day: daysAgo(days) });
  await make('fish-deaths', { tank_id: ids.T1, fish: 3, cause: 'jumped', day: daysAgo(8) });
  await make('feedings', { tank_id: ids.T4, feed_id: ids.feed, amount_g: 500, day: daysAgo(3) });
  ids.T5 = await make('tanks', { code: 'T5', loop_id: ids.loop, role: 'growout', volume_l: 6000, walk_order: 45 });
  const unweighed = await make('fish-lots', { code: 'F05', species_id: ids.species });
  await make('fish-moves', { fish_lot_id: unweighed, to_tank_id: ids.T5, fish: 400, reason: 'stocking', day: daysAgo(20) });
  await make('feedings', { tank_id: ids.T5, feed_id: ids.feed, amount_g: 900, day: daysAgo(2) });
  ids.N1 = await make('beds', { code: 'N1', loop_id: ids.loop, role: 'nursery', length_m: 4, width_m: 1.2, walk_order: 60 });
  for (const [code, sown, moved] of [['C2', 29, 12], ['C3', 39, 22]]) {
    ids[code] = await make('crop-lots', { code, variety_id: ids.variety, bed_id: ids.N1, cubes: 144, day: daysAgo(sown) });
    await make('crop-moves', { crop_lot_id: ids[code], from_bed_id: ids.N1, to_bed_id: ids.B1, plants: 72, day: daysAgo(moved) });
  }
  await make('harvests', { crop_lot_id: ids.sowing, bed_id: ids.B1, pieces: 20, day: daysAgo(2) });
  await make('harvests', { fish_lot_id: ids['lot-T2'], tank_id: ids.T2, pieces: 40, weight_g: 8150, day: daysAgo(9) });
  await make('harvests', { fish_lot_id: ids['lot-T2'], tank_id: ids.T2, pieces: 10, weight_g: 2050, day: daysAgo(1) });
}

before(async () => {
  service = await startService();
  ids = await seedFarm(service);
  await seedDesk();
  browser = await startBrowser();
  desk = await browser.newTablet(service, { staff: ids.maud, size: DESK });
  page = desk.page;
});
after(async () => {
  await browser?.stop();
  await service?.stop();
});

const figure = (value, decimals = 0) => new Intl.NumberFormat('en-GB', { minimumFractionDigits: decimals, maximumFractionDigits: decimals }).format(value);
const text = async (locator) => (await locator.innerText()).replace(/\s+/g, ' ').trim();
const tables = (locator) => locator.evaluateAll((all) => all.map((table) => [...table.rows].map((row) => [...row.cells].map((c) => c.textContent.replace(/\s+/g, ' ').trim()))));

async function opened(address, shown) {
  await desk.open(address);
  await page.locator(shown).first().waitFor();
}

test('only_an_entry_asks_who_is_here_and_is_signed_by_the_answer', async () => {
  const nobody = await browser.newTablet(service, { size: DESK });
  for (const address of ['/tanks', '/harvest', '/at/T1']) {
    await nobody.open(address);
    await nobody.page.locator('main .desk, main .at').first().waitFor();
    assert.equal(await nobody.page.locator('dialog[open]').count(), 0, `${address} is looked at without a name`);
  }
  await nobody.page.getByRole('button', { name: 'Dead', exact: false }).click();
  await nobody.page.getByRole('button', { name: '1', exact: true }).click();
  await nobody.page.getByRole('heading', { name: 'Who is here?' }).waitFor();
  assert.equal((await service.entries('fish-deaths')).length, 1, 'nothing is kept before the answer');
  await nobody.page.getByRole('button', { name: /^Ines/ }).click();
  const deaths = await service.kept('fish-deaths', 2);
  assert.equal(deaths.find((d) => d.cause === undefined).staff_id, ids.ines);
  assert.deepEqual(nobody.faults, []);
  await nobody.context.close();
});

test('tanks_shows_the_conversions_that_the_report_gives', async () => {
  await opened('/tanks', 'table.tanks');
  const since = (await service.get('/api/reports/feed-conversion?by=tank')).rows;
  const steps = (await service.get('/api/reports/feed-conversion?by=tank&step=weighing')).rows.filter((r) => r.basis === 'weighed');
  const reasons = { no_weight: 'weight not known', no_feed: 'no feed in this time', no_gain: 'no gain', no_fish: 'no fish' };
  const range = (row) => (row.high === null ? `from ${figure(row.low, 2)}, upper end open` : `${figure(row.low, 2)} to ${figure(row.high, 2)}`);
  const expected = (row, none) => (row && row.fcr_economic !== null ? `${figure(row.fcr_economic, 2)} ${range(row)}` : none ?? reasons[row.reason]);
  for (const code of ['T1', 'T2', 'T3', 'T5']) {
    const row = page.locator('table.tanks tbody tr', { has: page.getByRole('link', { name: code, exact: true }) });
    const [sinceRow, last] = [since.find((r) => r.tank === code), steps.filter((r) => r.tank === code).at(-1)];
    assert.equal(await text(row.locator('[data-label="Conversion since stocking"]')), expected(sinceRow), code);
    assert.equal(await text(row.locator('[data-label="Conversion between the last weighings"]')), expected(last, 'not weighed twice yet'), code);
    assert.equal(await row.locator('[data-label="Conversion between the last weighings"] .footing').getAttribute('class'), `footing ${last ? 'measured' : 'unknown'}`);
  }
  assert.ok(steps.some((r) => r.tank === 'T1' && r.fcr_economic > 0.5), 'a conversion was measured');
  const unknown = page.locator('table.tanks tbody tr', { has: page.getByRole('link', { name: 'T5', exact: true }) });
  assert.equal(await unknown.locator('[data-label="Each"] .footing.unknown').count(), 1, 'a weight that nobody knows is not known');
  assert.equal(await unknown.locator('[data-label="Biomass"] .footing.unknown').count(), 1);
  assert.match(await text(page.locator('[data-note="loose_feed"]')), /T4: feed was logged on a day when the book has no fish there/);
});

test('a_tank_says_why_and_opens_what_it_rests_on', async () => {
  await opened('/tanks/T1', '.tank-page');
  const { rows } = await service.get('/api/reports/feed-conversion?by=tank&step=weighing&only=T1&explain=1');
  const byWeighing = page.locator('.tank-page .desk-part', { has: page.getByRole('heading', { name: 'Conversion by weighing' }) }).locator('table');
  const shown = (await tables(byWeighing))[0].slice(1);
  const value = (row) => (row.fcr_economic === null ? null : figure(row.fcr_economic, 2));
  assert.deepEqual(shown.map((cells) => /[\d.]+$/.exec(cells[3])?.[0] ?? null), [...rows].reverse().map(value));
  const at = [...rows].reverse().findIndex((r) => r.explain.entries.some((e) => e.count === 9)); // nine feedings from weighing to weighing
  assert.ok(at >= 0);
  const { explain } = [...rows].reverse()[at];
  await byWeighing.getByRole('button', { name: 'And why' }).nth(at).click();
  const why = page.locator('.why');
  assert.equal(await text(why.locator('code')), explain.formula);
  assert.equal(await why.locator('.why-figures > span').count(), Object.keys(explain.inputs).length);
  assert.equal(await why.locator('.why-entries a').count(), explain.entries.length);
  await why.getByRole('link', { name: /^Feedings · 9/ }).click();
  await page.locator('main table.figures').waitFor();
  assert.equal((await tables(page.locator('main table.figures')))[0].slice(1).length, 9, 'the entries under the figure, and no other');
  await page.goBack();
  await page.getByRole('heading', { name: 'Conversion by weighing' }).waitFor();
  assert.equal(new URL(page.url()).pathname, '/tanks/T1');
});

const kg = (grams) => (grams ? `${figure(grams / 1000, 2)}kg` : '0kg');
const cellsOf = (row) => [row.harvests, row.pieces, row.weight_g].map((value, i) => (value === null ? '–' : i === 2 ? kg(value) : figure(value)));

test('harvest_totals_are_those_of_the_report', async () => {
  for (const [by, named] of [['week,crop,species', (r) => r.crop ?? r.species], ['variety,tank', (r) => r.variety ?? '–']]) {
    const query = `by=${by}&from=${daysAgo(30)}&to=${daysAgo(0)}`;
    await opened(`/harvest?${query}`, 'table.totals tfoot');
    const { rows, notes } = await service.get(`/api/reports/harvest?${query}`);
    assert.ok(rows.length >= 2);
    const [table] = await tables(page.locator('main table.totals'));
    const body = table.slice(1, -1);
    const sums = table[0].indexOf('Harvests');
    assert.deepEqual(body.map((cells) => cells.slice(sums, sums + 3)), rows.map(cellsOf), by);
    assert.deepEqual(body.map((cells) => cells[by.startsWith('week') ? 1 : 0]), rows.map(named));
    const total = rows.reduce((sum, r) => sum + (r.weight_g ?? 0), 0);
    assert.ok(table.at(-1).includes(kg(total)), `${table.at(-1)} holds ${kg(total)}`);
    assert.ok(notes.some((n) => n.code === 'weight_unknown'));
    assert.equal(await page.locator('[data-note="weight_unknown"]').count(), 1, 'what no sum holds is said');
  }
});

test('the_csv_of_the_button_is_that_of_the_report', async () => {
  const query = `by=month,variety,species&from=${daysAgo(40)}&to=${daysAgo(0)}`;
  await opened(`/harvest?${query}`, 'table.totals tfoot');
  const coming = page.waitForEvent('download');
  await page.getByRole('link', { name: 'Download CSV' }).click();
  const kept = readFileSync(await (await coming).path());
  const given = Buffer.from(await (await fetch(`${service.base}/api/reports/harvest.csv?${query}`)).arrayBuffer());
  assert.ok(given.includes('Ashgreen'));
  assert.ok(kept.equals(given), 'byte for byte');
});

async function logByPad(tile, keys) {
  await eventually(async () => { // a second press within 400 ms is a ghost's
    if (!await page.locator('dialog[open]').count()) await page.getByRole('button', { name: 'Log a harvest' }).click({ timeout: 1000 }).catch(() => {});
    return page.locator('dialog[open]').getByRole('button', { name: tile }).isVisible();
  });
  await page.locator('dialog[open]').getByRole('button', { name: tile }).click();
  await page.locator('dialog.pad').waitFor();
  for (const key of keys) await page.keyboard.press(key);
}

test('a_harvest_of_plants_and_one_of_fish_change_the_totals_by_themselves', async () => {
  const query = `by=crop,species&from=${daysAgo(30)}&to=${daysAgo(0)}`;
  const totals = async () => (await service.get(`/api/reports/harvest?${query}`)).rows;
  const [plantsBefore, fishBefore] = [(await totals()).find((r) => r.crop === 'Lettuce'), (await totals()).find((r) => r.species === 'Redfin')];
  await opened(`/harvest?${query}`, 'table.totals tfoot');
  await logByPad(/^B1 · Ashgreen.*C3/s, ['1', '2', 'Enter', '2', '.', '5']);
  await page.getByRole('button', { name: 'Harvest 12 heads' }).click();
  await service.kept('harvests', 4);
  await page.getByRole('button', { name: 'Not now' }).click();
  await logByPad(/^T3 · Redfin/, ['5', 'Enter', '1', '.', '0', '5']);
  await page.getByRole('button', { name: 'Harvest 5 fish' }).click();
  const harvests = await service.kept('harvests', 5);
  assert.deepEqual(harvests.filter((h) => h.staff_id === ids.maud).map((h) => [h.pieces, h.weight_g]).sort(), [[12, 2500], [5, 1050]]);
  const now = await totals();
  const [plants, fish] = [now.find((r) => r.crop === 'Lettuce'), now.find((r) => r.species === 'Redfin')];
  assert.equal(plants.pieces - plantsBefore.pieces, 12);
  assert.equal(plants.weight_g - (plantsBefore.weight_g ?? 0), 2500);
  assert.equal(fish.pieces - fishBefore.pieces, 5);
  assert.equal(fish.weight_g - fishBefore.weight_g, 1050);
  await eventually(async () => {
    const [table] = await tables(page.locator('main table.totals'));
    const row = (name) => table.find((cells) => cells[0] === name)?.slice(1, 4);
    return JSON.stringify([row('Lettuce'), row('Redfin')]) === JSON.stringify([cellsOf(plants), cellsOf(fish)]);
  });
});

test('beds_say_what_each_ready_day_is_learned_from', async () => {
  await opened('/beds', 'table.figures .rests');
  const { rows } = await service.get('/api/reports/beds');
  const shown = await page.locator('table.figures tbody tr', { has: page.locator('.rests') }).evaluateAll((lines) => lines.map((tr) => ({ bed: tr.cells[0].textContent, lot: tr.cells[2].textContent, rests: tr.querySelector('.rests').textContent })));
  assert.ok(shown.length > 0);
  for (const { bed, lot, rests } of shown) {
    const row = rows.find((r) => r.bed === bed && r.crop_lot === lot);
    const said = { planned: 'as the variety plans it', own: `from ${row.lots} lot`, own_month: `from ${row.lots} lot` }[row.basis];
    assert.ok(said && rests.includes(said), `${lot} ${row.basis}: ${rests}`);
  }
});

test('beds_show_lots_where_the_report_says_to_scale', async () => {
  await opened('/beds', 'svg.bed .lot');
  const { rows } = await service.get('/api/reports/beds');
  const there = rows.filter((r) => r.bed === 'B1' && r.plants > 0 && r.from_m !== null);
  assert.ok(there.length >= 2);
  const drawn = await page.locator('svg.bed').first().evaluate((bed) => ({
    scale: (Number(bed.querySelector('.water').getAttribute('width')) + 1.5) / 24, // pixels a metre: B1 is 24 m long
    lots: [...bed.querySelectorAll('.lot')].map((lot) => {
      const stretch = lot.querySelector('.stretch');
      return { said: lot.querySelector('title').textContent, x: Number(stretch.getAttribute('x')) - 1.5, w: Number(stretch.getAttribute('width')) + 3, state: lot.querySelector('.state')?.textContent ?? '' };
    }),
  }));
  assert.equal(drawn.lots.length, there.length);
  const days = (a, b) => Math.round((new Date(b) - new Date(a)) / 864e5);
  for (const [i, row] of there.entries()) {
    const lot = drawn.lots[i];
    assert.ok(lot.said.includes(row.crop_lot));
    assert.ok(Math.abs(lot.x / drawn.scale - row.from_m) < 0.02, `${row.crop_lot} begins at ${row.from_m} m`);
    assert.ok(Math.abs((lot.x + lot.w) / drawn.scale - row.to_m) < 0.02, `${row.crop_lot} ends at ${row.to_m} m`);
    if (row.ready_on > daysAgo(0)) assert.ok(lot.state.startsWith(`${days(daysAgo(0), row.ready_on)}`), `${row.crop_lot}: ${lot.state}`);
  }
  const ready = there.filter((r) => r.ready_on <= daysAgo(0));
  assert.ok(ready.length >= 1);
  const table = (await tables(page.getByRole('region', { name: /^Ready/ }).locator('table')))[0].slice(1);
  assert.deepEqual(table.map((cells) => cells[2]).sort(), ready.map((r) => r.crop_lot).sort());
});

test('a_day_to_come_says_what_it_counts_as_harvested', async () => {
  const day = daysAgo(-40);
  await opened(`/beds?day=${day}`, '[data-note="due_out"]');
  const { notes } = await service.get(`/api/reports/beds?day=${day}`);
  const lots = new Set(notes.filter((n) => n.code === 'due_out').map((n) => n.of)).size;
  assert.match(await text(page.locator('[data-note="due_out"]')), new RegExp(`ready days of ${lots} lot`));
});

test('water_shows_the_newest_readings_with_their_states', async () => {
  await opened('/water', 'table.waters-table');
  const { rows } = await service.get('/api/reports/water');
  const words = { low: 'low', stop_low: 'too low' };
  for (const code of ['T1', 'T2', 'T3']) {
    const of = rows.find((r) => r.place === code && r.quantity === 'do_mg_l');
    const cell = await text(page.locator('.waters-table tbody tr', { has: page.getByRole('link', { name: code, exact: true }) }).locator('[data-label="Oxygen"]'));
    assert.ok(cell.startsWith(`${figure(of.value, 1)}mg/L`), cell);
    assert.ok(of.state === 'ok' ? !/[▼▲]/.test(cell) : cell.includes('▼') && cell.includes(words[of.state]), `${code} ${of.state}: ${cell}`);
  }
  assert.deepEqual(rows.filter((r) => r.quantity === 'do_mg_l').map((r) => r.state).sort(), ['low', 'ok', 'stop_low']);
});

test('entries_much_alike_are_offered_for_striking', async () => {
  for (const staff_id of [ids.ines, ids.maud]) await service.post('/api/fish-deaths', { tank_id: ids.T2, fish: 2, staff_id, at: `${daysAgo(0)}T00:10:0${staff_id === ids.ines ? 0 : 5}Z` });
  await opened('/tanks/T2', '.alike');
  assert.match(await text(page.locator('.alike')), /much alike.*Ines.*Maud/);
  const [, later] = (await service.entries('fish-deaths')).filter((d) => d.tank_id === ids.T2);
  await page.locator('.alike a').last().click();
  await page.locator('.record-form').waitFor();
  assert.equal(new URL(page.url()).pathname, `/farm/fish-deaths/${later.id}`);
});

test('addresses_open_where_they_point_and_back_leads_back', async () => {
  await opened('/harvest?by=month,variety', 'table.totals tfoot');
  assert.equal(await page.getByRole('button', { name: 'Month', exact: true }).getAttribute('aria-pressed'), 'true');
  await page.getByRole('link', { name: 'Tanks', exact: true }).click();
  await page.getByRole('link', { name: 'T1', exact: true }).click();
  await page.locator('.tank-page').waitFor();
  await page.goBack();
  await page.locator('table.tanks').waitFor();
  await page.goBack();
  await page.locator('table.figures tfoot').waitFor();
  assert.equal(new URL(page.url()).search, '?by=month,variety');
  await desk.open('/tanks/NOWHERE');
  await page.getByRole('link', { name: 'All tanks' }).waitFor();
});

test('no_screen_shows_nonsense_and_axe_finds_nothing_serious_in_any_theme', async () => {
  const other = await browser.newTablet(service, { staff: ids.maud, size: DESK });
  for (const address of SCREENS) {
    await other.open(address);
    await other.page.locator('.desk').waitFor();
    assert.deepEqual(await axeFindings(other.page), [], address);
    assert.doesNotMatch(await other.page.innerText('body'), /NaN|undefined|null|Infinity|\[object/, address);
    for (const theme of ['dark', 'sun']) { // a theme changes colours and weights only
      await other.page.evaluate((name) => { document.documentElement.dataset.theme = name; }, theme);
      assert.deepEqual(await axeFindings(other.page, ['color-contrast']), [], `${address} ${theme}`);
    }
  }
  assert.deepEqual(other.faults, []);
  await other.context.close();
});

test('a_finger_finds_every_target_and_a_phone_scrolls_one_way', async () => {
  for (const size of [TABLET, PHONE]) {
    const other = await browser.newTablet(service, { staff: ids.maud, size });
    for (const address of SCREENS) {
      await other.open(address);
      await other.page.locator('.desk').waitFor();
      assert.deepEqual(await smallTargets(other.page), [], address);
      assert.ok(await other.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${address} at ${size.viewport.width} px`);
    }
    await other.context.close();
  }
});

test('the_manager_walks_in_spanish', async () => {
  const other = await browser.newTablet(service, { staff: ids.maud, size: DESK, language: 'es' });
  await other.open('/tanks');
  await other.page.getByRole('link', { name: 'T1', exact: true }).click();
  await other.page.getByRole('button', { name: 'Por qué' }).first().click();
  assert.match(await other.page.innerText('.why'), /Fórmula/i);
  for (const [way, head] of [['Camas', 'Camas'], ['Agua', 'Agua'], ['Cosecha', 'Cosecha'], ['Más', 'Más']]) {
    await other.page.locator('#ways').getByRole('link', { name: way, exact: true }).click();
    await other.page.getByRole('heading', { name: head, exact: true }).first().waitFor();
    await other.page.locator('.desk').waitFor();
    assert.doesNotMatch(await other.page.innerText('main'), /\b(the|and|from|weight|harvested|ready|days)\b/i, way);
  }
  assert.deepEqual(other.faults, []);
  await other.context.close();
});
