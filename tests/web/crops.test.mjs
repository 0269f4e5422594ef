/* At the bed: sowing on the bench, moving on from bench to nursery to raft, and what is asked when some are left. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, daysAgo, eventually, prepare, smallTargets, TABLET } from './support.mjs';

let service;
let ids;
let tablet;
let page;
let made;
const more = async (farm, its) => {
  const bed = (code, role, length_m) => farm.post('/api/beds', { code, loop_id: its.loop, role, length_m, width_m: 1.2 });
  made = { G1: await bed('G1', 'germination', 4), N1: await bed('N1', 'nursery', 8) };
  await farm.post('/api/varieties', { name: 'Copperleaf', crop_id: its.crop, days_germination: 3, days_nursery: 14, days_raft: 20, days_hold: 5 });
  await farm.post('/api/crop-lots', { code: 'C2', variety_id: its.variety, bed_id: made.G1.id, cubes: 120, day: daysAgo(5) });
};
prepare((given) => { ({ service, ids, tablet, page } = given); }, { once: true, seed: { more }, tablet: { size: TABLET } });

const text = async (locator) => (await locator.innerText()).replace(/\s+/g, ' ').trim();
let taps = 0;
const tap = async (locator) => {
  await locator.first().waitFor();
  await locator.first().tap();
  taps += 1;
};
const button = (name) => page.getByRole('button', { name });

test('a_sowing_as_last_time_takes_four_taps_and_makes_its_code', async () => {
  await tablet.open('/at/G1');
  taps = 0;
  await tap(button(/^Sow$/));
  await page.locator('.tiles button').first().waitFor();
  assert.deepEqual((await page.locator('.tiles button').allInnerTexts()).map((tile) => tile.replace(/\s+/g, ' ').slice(0, 20)), ['Ashgreen 120 cubes o', 'Copperleaf not sown '], 'what was sown last stands first');
  await tap(page.locator('.tiles button', { hasText: 'Ashgreen' }));
  await tap(page.locator('.pad .last'));
  await tap(page.getByRole('button', { name: 'Sow 120 cubes' }));
  assert.equal(taps, 4);
  await eventually(async () => (await service.entries('crop-lots')).length === 3);
  const lot = (await service.entries('crop-lots')).at(-1);
  assert.equal(lot.cubes, 120);
  assert.equal(lot.bed_id, made.G1.id);
  assert.match(lot.code, /^\d{6}A\d{2}[0-9A-Z]$/);
  await page.locator('.at-log', { hasText: `Sown 120 cubes, ${lot.code}` }).waitFor();
});

test('a_lot_moves_on_whole_and_the_one_bed_ahead_is_not_asked_for', async () => {
  taps = 0;
  await tap(button(/^Move on$/));
  await tap(page.locator('.choices button', { hasText: 'C2' }));
  assert.match(await text(page.locator('.pad h2')), /^G1 → N1 · Ashgreen C2$/);
  await tap(page.locator('.pad-save'));
  assert.equal(taps, 3);
  await eventually(async () => (await service.entries('crop-moves')).length === 1);
  const [move] = await service.entries('crop-moves');
  assert.equal(move.to_bed_id, made.N1.id);
  assert.equal(move.empties, true);
  const { rows } = await service.get('/api/reports/beds');
  assert.deepEqual(rows.filter((r) => r.crop_lot === 'C2' && r.plants > 0).map((r) => r.bed), ['N1']);
});

test('of_a_part_it_asks_what_became_of_the_rest', async () => {
  await tablet.open('/at/N1');
  await tap(button(/^Move on$/)); // one lot: not asked which; one raft bed: not asked where to
  await page.locator('.pad').waitFor();
  const { rows } = await service.get('/api/reports/beds');
  const stood = rows.find((r) => r.crop_lot === 'C2' && r.bed === 'N1').plants;
  for (const key of ['1', '0', '0']) await page.locator('.pad-keys').getByRole('button', { name: key, exact: true }).tap();
  await tap(page.getByRole('button', { name: 'Move 100 plants to B1' }));
  await page.getByText(`And the other ${stood - 100} plants?`).waitFor();
  await tap(button('None is left'));
  await eventually(async () => (await service.entries('crop-moves')).at(-1).empties === true);
  const after = (await service.get('/api/reports/beds')).rows.filter((r) => r.crop_lot === 'C2' && r.plants > 0);
  assert.deepEqual(after.map((r) => [r.bed, r.plants]), [['B1', 100]]);
  assert.ok(after[0].rafts > 0);
});

test('beds_of_each_sort_are_fit_for_fingers_and_readers', async () => {
  for (const code of ['G1', 'N1', 'B1']) {
    await tablet.open(`/at/${code}`);
    await page.locator('.act-grid').waitFor();
    assert.deepEqual(await axeFindings(page), []);
    assert.deepEqual(await smallTargets(page), []);
  }
  await tablet.open('/at/G1');
  await tap(button(/^Sow$/));
  await page.locator('.tiles').waitFor();
  assert.deepEqual(await axeFindings(page), []);
  assert.deepEqual(await smallTargets(page), []);
  assert.deepEqual(tablet.faults, []);
  assert.ok(ids.B1);
});

test('yield_is_that_of_the_report_by_what_is_chosen_and_says_why', async () => {
  await service.post('/api/harvests', { crop_lot_id: (await service.get('/api/crop-lots?code=C2')).items[0].id, bed_id: ids.B1, pieces: 100, weight_g: 14000, empties: true, at: new Date().toISOString().replace(/\.\d+Z/, 'Z') });
  await tablet.open('/beds');
  await page.getByRole('link', { name: 'Yield' }).click();
  await page.locator('.yields').waitFor();
  const row = page.locator('.yields tbody tr', { hasText: 'Ashgreen' });
  const { rows } = await service.get('/api/reports/yield');
  const of = rows.find((r) => r.name === 'Ashgreen');
  const words = await text(row);
  assert.ok(of.lots > 0 && words.includes(`${of.harvested_pct.toFixed(0)} %`), words);
  assert.ok(words.includes('100 heads'), words);
  await row.getByRole('button', { name: /Why/ }).tap();
  assert.match(await text(page.locator('.why')), /per m2 and week = harvested/);
  await page.getByRole('button', { name: 'Bed', exact: true }).tap();
  await page.locator('.yields th[scope=row]', { hasText: 'B1' }).waitFor();
  assert.equal(new URL(page.url()).searchParams.get('by'), 'bed');
  assert.deepEqual(await axeFindings(page), []);
  assert.deepEqual(await smallTargets(page), []);
});
