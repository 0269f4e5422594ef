/*
 * Paper: the sheets on A4 and Letter, black on white; and the typing screen, which has the same lines and boxes in the same
 * order and keeps each line as late entries of whoever wrote it.
 */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, daysAgo, DESK, prepare, smallTargets } from './support.mjs';

let service;
let browser;
let ids;
let page;
async function more(its, made) {
  const make = async (kind, fields) => (await its.post(`/api/${kind}`, fields)).id;
  made.B2 = await make('beds', { code: 'B2', loop_id: made.loop, role: 'raft', length_m: 24, width_m: 1.2, raft_length_m: 1.2, raft_width_m: 0.6, sites_per_raft: 18, walk_order: 60 });
  made.mats = await make('chores', { title: 'Foot mats', every_days: 1, due_hour: 9, answer: 'done' });
}
prepare((given) => { ({ browser, ids, page, service } = given); }, { seed: { more }, holder: 'maud', tablet: { size: DESK } });

const open = async (path, at = page) => {
  await at.goto(service.base + path);
  await at.locator('.paper-line').first().waitFor();
};
/* The lines as a person sees them: number, place, and the names of the boxes. */
const seen = (at) => at.evaluate(() => [...document.querySelectorAll('.paper-line')].map((line) => [line.querySelector('.line-no').textContent, line.querySelector('.code').textContent,
  ...[...line.querySelectorAll('.cell')].map((cell) => cell.querySelector('.cell-name').textContent)]));
const cell = (no, name) => page.locator(`[data-line="${no}"] [data-cell="${name}"] input`);

for (const sheet of ['day', 'beds', 'blank']) {
  test(`the_typing_screen_has_the_lines_and_boxes_of_the_${sheet}_sheet_in_its_order`, async () => {
    await open(`/paper?sheet=${sheet}`);
    const paper = await seen(page);
    await open(`/paper/type?sheet=${sheet}&day=${daysAgo(0)}`);
    assert.deepEqual(await seen(page), paper);
    assert.ok(paper.length >= (sheet === 'beds' ? 1 : 6));
    const inOrder = await page.evaluate(() => [...document.querySelectorAll('.paper-lines .cell')].map((c) => `${c.closest('li').dataset.line} ${c.dataset.cell}`));
    const walked = [];
    await page.locator('.paper-lines input').first().focus();
    for (let i = 0; i < inOrder.length + paper.length; i += 1) { // the key of a line stands after its boxes
      const here = await page.evaluate(() => document.activeElement.closest('.cell') && `${document.activeElement.closest('li').dataset.line} ${document.activeElement.closest('.cell').dataset.cell}`);
      if (here) walked.push(here);
      await page.keyboard.press('Tab');
    }
    assert.deepEqual(walked, inOrder);
  });
}

test('the_day_sheet_holds_the_walk_with_the_plan_and_the_chores', async () => {
  await open('/paper');
  const lines = await seen(page);
  assert.deepEqual(lines.map((l) => l[1]), ['', 'T1', 'S1', 'T2', 'T3', 'T4']); // by walk order; a chore without a place first
  assert.deepEqual(lines[1].slice(2), ['feed 06:00 kg', 'at', 'feed 12:30 kg', 'at', 'feed 18:00 kg', 'at', 'dead', 'oxygen mg/L', 'water °C', 'pH', 'time', 'by']);
  assert.match(await page.locator('[data-line="2"]').innerText(), /1\.42\s*kg/);
  assert.match(await page.locator('.paper-sheet header').innerText(), /Sedge Lane/);
  assert.match(await page.locator('.paper-sheet header').innerText(), /aerate first/);
  await open('/paper?sheet=blank');
  assert.doesNotMatch(await page.locator('.paper-lines').innerText(), /1\.42/); // no plan of a day that nobody knows
  assert.equal(await page.locator('.free-lines tbody tr').count(), 12);
});

const pagesOf = (pdf) => (pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length;
test('each_sheet_prints_black_on_white_and_fits_a4_and_letter', async (context) => {
  for (const theme of ['dark', 'sun']) {
    const tablet = await browser.newTablet(service, { staff: ids.maud, theme, size: { viewport: { width: 718, height: 1000 } } }); // 190 mm: A4 without its margins
    context.after(() => tablet.context.close());
    for (const sheet of ['day', 'beds', 'blank']) {
      await open(`/paper?sheet=${sheet}`, tablet.page);
      await tablet.page.emulateMedia({ media: 'print' });
      const looks = await tablet.page.evaluate(() => {
        const of = (el) => getComputedStyle(el);
        const texts = [...document.querySelectorAll('.paper-sheet :is(h1, p, span, b, small)')].filter((el) => el.textContent.trim());
        return {
          ink: [...new Set(texts.map((el) => of(el).color))], ground: of(document.body).backgroundColor, sheet: [...new Set([...document.querySelectorAll('.box')].map((b) => of(b).backgroundColor))],
          shown: ['#top', '.ways', '.desk-tools'].filter((s) => { const el = document.querySelector(s); return el && el.getBoundingClientRect().height > 0; }),
          wide: document.documentElement.scrollWidth, out: [...document.querySelectorAll('.box')].filter((b) => b.getBoundingClientRect().right > innerWidth).length,
          least: Math.min(...[...document.querySelectorAll('.box')].map((b) => b.getBoundingClientRect().height)),
        };
      });
      assert.deepEqual(looks.ink, ['rgb(0, 0, 0)'], `${theme} ${sheet}`);
      assert.ok(['rgba(0, 0, 0, 0)', 'rgb(255, 255, 255)'].includes(looks.ground), looks.ground);
      assert.deepEqual(looks.sheet, ['rgb(255, 255, 255)']);
      assert.deepEqual(looks.shown, []);
      assert.ok(looks.wide <= 718 && looks.out === 0, `${theme} ${sheet}: ${looks.wide} px wide, ${looks.out} boxes outside`);
      assert.ok(looks.least >= 30, `a box is ${looks.least} px high: 8 mm hold a hand's figures`); // 8 mm at 96 px an inch
      for (const [format, width] of [['A4', 595], ['Letter', 612]]) { // points
        const pdf = await tablet.page.pdf({ format });
        const box = /\/MediaBox \[0 0 ([\d.]+)/.exec(pdf.toString('latin1'));
        assert.ok(Math.abs(Number(box[1]) - width) < 1.5, `${format}: ${box[0]}`);
        assert.ok(pagesOf(pdf) >= 1 && pagesOf(pdf) <= 2, `${sheet} on ${format}: ${pagesOf(pdf)} pages`);
      }
      await tablet.page.emulateMedia({ media: 'screen' });
    }
  }
});

test('a_line_is_typed_by_keys_alone_and_kept_late_by_whoever_wrote_it', async () => {
  const day = daysAgo(1);
  await open(`/paper/type?sheet=day&day=${day}&by=${ids.ines}`);
  await cell(2, 'feed1').focus();
  await page.keyboard.type('='); // the plan of the line
  assert.equal(await cell(2, 'feed1').inputValue(), '1.42');
  for (const text of ['615', '0.7', '', '', '', '3', '5.9', '26.4', '7', '1840', 'M']) {
    await page.keyboard.press('Enter');
    if (text) await page.keyboard.type(text);
  }
  await page.keyboard.press('Enter'); // the end of the line keeps it
  const feedings = (await service.kept('feedings', 2)).sort((a, b) => a.slot - b.slot);
  assert.deepEqual(feedings.map((f) => [f.amount_g, f.slot, f.day, f.staff_id, f.note]), [[1420, 1, day, ids.maud, 'From paper, typed by Maud'], [700, 2, day, ids.maud, 'From paper, typed by Maud']]);
  const clock = async (at) => page.evaluate(async (text) => (await import('/js/format.js')).clock(text), at);
  assert.deepEqual([await clock(feedings[0].at), await clock(feedings[1].at)], ['06:15', '12:30']); // as written; else when it was due
  const [death] = await service.kept('fish-deaths', 1);
  assert.deepEqual([death.fish, death.day, death.staff_id, await clock(death.at)], [3, day, ids.maud, '18:40']);
  const water = (await service.kept('water-tests', 4)).find((w) => w.day === day && w.ph);
  assert.deepEqual([water.do_mg_l, water.temperature_c, water.ph, water.place_id], [5.9, 26.4, 7, ids.T1]);
  await page.locator('[data-line="2"]').getByText('in the record').waitFor();
  assert.equal(await page.evaluate(() => document.activeElement.closest('li')?.dataset.line), '3'); // on to the next line
  await page.keyboard.type('42');
  await page.keyboard.press('Control+Enter'); // a chore, by the writer of the sheet
  const [chore] = await service.kept('chores-done', 1);
  assert.deepEqual([chore.answer, chore.chore_id, chore.day, chore.staff_id], ['42', ids.chore, day, ids.ines]);
});

test('what_cannot_be_read_is_said_at_its_box_and_stays', async () => {
  await open(`/paper/type?sheet=day&day=${daysAgo(1)}`);
  await cell(2, 'dead').fill('many');
  await cell(2, 'do_mg_l').fill('6');
  await cell(2, 'do_mg_l').press('Control+Enter');
  await page.locator('[data-line="2"]').getByText('a whole number').waitFor();
  await page.locator('[data-line="2"]').getByText('who wrote it').waitFor(); // nobody is named yet
  assert.equal(await page.evaluate(() => document.activeElement.id), 'l2-dead');
  assert.deepEqual(await axeFindings(page), []);
  await page.reload();
  await cell(2, 'dead').waitFor();
  assert.equal(await cell(2, 'dead').inputValue(), 'many');
  assert.equal((await service.entries('fish-deaths')).length, 0);
  await cell(2, 'dead').fill('2');
  await cell(2, 'by').fill('I');
  await cell(2, 'by').press('Enter');
  const [death] = await service.kept('fish-deaths', 1);
  assert.deepEqual([death.fish, death.staff_id, death.day], [2, ids.ines, daysAgo(1)]);
});

test('a_bed_sheet_becomes_harvests_losses_and_moves', async () => {
  await open(`/paper/type?sheet=beds&day=${daysAgo(0)}&by=${ids.ines}`);
  for (const [name, text] of [['pieces', '60'], ['weight', '9.5'], ['lost', '4'], ['moved', '50']]) await cell(1, name).fill(text);
  await cell(1, 'to').press('Control+Enter');
  await page.getByText('the code of a bed').waitFor();
  await cell(1, 'to').fill('b2');
  await cell(1, 'to').press('Control+Enter');
  const [harvest] = await service.kept('harvests', 1);
  assert.deepEqual([harvest.pieces, harvest.weight_g, harvest.crop_lot_id, harvest.bed_id, harvest.staff_id], [60, 9500, ids.sowing, ids.B1, ids.ines]);
  assert.ok(harvest.code);
  const [loss] = await service.kept('crop-losses', 1);
  const [move] = await service.kept('crop-moves', 1);
  assert.deepEqual([loss.plants, move.plants, move.from_bed_id, move.to_bed_id], [4, 50, ids.B1, ids.B2]);
});

test('with_the_network_away_lines_are_kept_on_this_tablet_and_arrive', async () => {
  const day = daysAgo(1);
  await open(`/paper/type?sheet=day&day=${day}&by=${ids.ines}`);
  await page.context().setOffline(true);
  await cell(2, 'dead').fill('1');
  await cell(2, 'dead').press('Control+Enter');
  await page.locator('[data-line="2"]').getByText('kept on this tablet').waitFor();
  await page.context().setOffline(false);
  const [death] = await service.kept('fish-deaths', 1);
  assert.deepEqual([death.fish, death.day, death.staff_id], [1, day, ids.ines]);
});

test('it_shows_in_each_language_theme_and_size', async (context) => {
  for (const [language, theme, size] of [['es', 'dark', DESK], ['en', 'sun', undefined], ['es', 'light', { viewport: { width: 390, height: 844 }, hasTouch: true }]]) {
    const tablet = await browser.newTablet(service, { staff: ids.maud, language, theme, ...(size ? { size } : {}) });
    context.after(() => tablet.context.close());
    for (const path of ['/paper', '/paper/type?sheet=day', '/paper/type?sheet=beds']) {
      await open(path, tablet.page);
      const found = (await axeFindings(tablet.page)).filter((f) => !f.startsWith('target-size')); // what lies under the way between screens; sizes are judged below
      assert.deepEqual(found, [], `${path} ${language} ${theme}`);
      assert.deepEqual(await smallTargets(tablet.page), [], `${path} ${language} ${theme}`);
      assert.ok(await tablet.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${path} ${language} ${theme} scrolls sideways`);
    }
    assert.deepEqual(tablet.faults, []);
  }
});
