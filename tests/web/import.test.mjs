/*
 * Import with preview: real files through the screen.  The files are those of fixtures/import, which say themselves
 * what must come of them; a farm is imported first, then each case is tried on top of it.
 */
import assert from 'node:assert/strict';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { axeFindings, eventually, smallTargets, startBrowser, startService, TABLET } from './support.mjs';

const CASES = new URL('../../fixtures/import/', import.meta.url);
const filesOf = (folder) => readdirSync(new URL(folder, CASES)).sort().map((name) => ({ name, mimeType: 'text/csv', buffer: readFileSync(new URL(`${folder}/${name}`, CASES)) }));
const textOf = (path) => (existsSync(new URL(path, CASES)) ? readFileSync(new URL(path, CASES), 'utf8') : '');
const linesOf = (path) => textOf(path).split('\n').filter(Boolean);
const csv = (name, ...lines) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(`${lines.join('\r\n')}\r\n`) });

let service;
let browser;
let tablet;
let page;
before(async () => {
  service = await startService();
  browser = await startBrowser();
  tablet = await browser.newTablet(service, { staff: 1, size: TABLET }); // the farm's only person, once it is imported
  page = tablet.page;
});
after(async () => {
  await browser?.stop();
  await service?.stop();
});

const button = (name) => page.getByRole('button', { name, exact: true });
const verdict = (text) => page.locator('main .notice').getByText(text).waitFor();
const FITS = 'All rows fit. Nothing is kept yet.';
/** Opens the screen and tries these files; options: words of buttons to press first. */
async function choose(files, options = []) {
  await tablet.open('/farm/import');
  for (const option of options) await page.getByRole('group', { name: option[0] }).getByRole('button', { name: option[1] }).click();
  await page.locator('#import-files').setInputFiles(files);
  await page.locator('main .notice').first().waitFor();
  await page.getByText('Reading the files …').waitFor({ state: 'detached' });
}
/** The rows of a table as lists of cells. */
const cells = async (label) => (await page.getByRole('region', { name: label }).locator('tbody tr').allInnerTexts()).map((line) => line.split('\t').map((cell) => cell.trim()));
const total = async () => (await service.entries('feedings')).length;

test('a_farm_is_tried_first_then_kept_and_the_same_files_add_nothing', async () => {
  await choose(filesOf('base'));
  await verdict(FITS);
  assert.deepEqual(await service.entries('tanks'), []);
  const names = await page.getByRole('list', { name: 'Chosen files' }).innerText();
  assert.match(names, /tanks\.csv 0\.1 kB/);
  const before = await cells('Rows');
  assert.deepEqual(before.find(([kind]) => kind === 'Tanks'), ['Tanks', '2', '0']);
  await button('Keep all of it').click();
  await verdict('All rows are in the record.');
  assert.deepEqual((await service.entries('tanks')).map((t) => t.code), ['T1', 'T2']);
  assert.equal((await service.get('/api/farm')).time_zone, 'Europe/Madrid');
  assert.equal(await button('Keep all of it').count(), 0);
  await choose(filesOf('base'));
  await verdict('All of this is in the record already.');
  assert.deepEqual((await cells('Rows')).find(([kind]) => kind === 'Tanks'), ['Tanks', '0', '2']);
  assert.equal(await button('Keep all of it').count(), 0);
  assert.equal((await service.entries('tanks')).length, 2);
});

/* options.txt is written for the command line. */
const SIGNS = { ';': 'semicolon', '\\t': 'tab', ',': 'comma', '.': 'point' };
function optionsOf(name) {
  const words = textOf(`${name}/options.txt`).trim().split(/\s+/);
  return [['--separator', 'Columns separated by'], ['--decimal', 'Decimal sign']].filter(([word]) => words.includes(word)).map(([word, legend]) => [legend, SIGNS[words[words.indexOf(word) + 1]]]);
}
const all = readdirSync(CASES);
const NO_TEXT = ['bad-utf8', 'bad-nul'];

for (const name of all.filter((n) => n.startsWith('good-'))) {
  test(`${name.replaceAll('-', '_')}_fits`, async () => {
    await choose(filesOf(`${name}/input`), optionsOf(name));
    await verdict(FITS);
    assert.equal((await cells('Rows')).reduce((sum, [, fresh]) => sum + Number(fresh), 0), linesOf(`${name}/rows.txt`).reduce((sum, line) => sum + Number(line.split(' ')[1]), 0));
    assert.equal(await total(), 0); // tried, not kept
  });
}

for (const name of all.filter((n) => n.startsWith('bad-') && !NO_TEXT.includes(n))) {
  test(`${name.replaceAll('-', '_')}_is_said_by_file_and_line`, async () => {
    await choose(filesOf(`${name}/input`), optionsOf(name));
    assert.equal(await button('Keep all of it').count(), 0);
    await verdict(/nothing was kept\.$/);
    const expected = linesOf(`${name}/error.txt`).map((line) => line.split(' '));
    const shown = await cells(/What is wrong/);
    assert.deepEqual(shown.map(([file, line]) => [file, line]), expected.map(([file, line]) => [file, line]));
    for (const [i, [, , column, why]] of shown.entries()) {
      if (expected[i][2] !== '-') assert.ok(column.includes(expected[i][2]), column);
      assert.match(why, /^▲\s*\S.* \S.*[.?]$/s); // a sentence ...
      assert.doesNotMatch(why, /\{\w+\}|\b[a-z]+_[a-z_]+\b/); // ... of words
    }
    assert.equal(await total(), 0);
  });
}

test('the_nearest_column_is_named', async () => {
  await choose(filesOf('bad-unknown-column/input'));
  await page.getByText('There is no column tnak: is tank meant?').waitFor();
});

test('bytes_that_are_no_text_are_said_before_anything_is_sent', async () => {
  let sent = 0;
  page.on('request', (request) => { sent += request.url().endsWith('/api/import') ? 1 : 0; });
  for (const name of NO_TEXT) {
    await tablet.open('/farm/import');
    await page.locator('#import-files').setInputFiles(filesOf(`${name}/input`));
    await verdict(/feedings\.csv cannot be read as text/);
  }
  assert.equal(sent, 0);
});

test('separators_are_chosen_on_the_screen_without_choosing_the_file_again', async () => {
  await choose(filesOf('good-semicolon/input'));
  await page.getByText('The columns seem to be separated by another sign').waitFor();
  await page.getByRole('group', { name: 'Columns separated by' }).getByRole('button', { name: 'semicolon' }).click();
  await page.getByRole('region', { name: /What is wrong/ }).getByText('Amount must be a number').waitFor(); // 400,5
  await page.getByRole('group', { name: 'Decimal sign' }).getByRole('button', { name: 'comma' }).click();
  await verdict(FITS);
});

const HEAD = 'at,tank,feed,amount_g';
const feedings = (n, badLine) => csv('feedings.csv', HEAD, ...Array.from({ length: n }, (_, i) => `${new Date(Date.UTC(2026, 1, 1) + i * 6e5).toISOString().slice(0, 19)}Z,${i + 2 === badLine ? 'T9' : i % 2 ? 'T1' : 'T2'},Pellet 32,${100 + (i % 7)}`));

test('one_bad_row_of_ten_thousand_is_found_mended_and_all_are_kept', async () => {
  await choose(feedings(10000, 7778));
  await verdict('1 row does not fit. Mend the file and choose it again; nothing was kept.');
  const [[file, line, column], ...more] = await cells(/What is wrong/);
  assert.deepEqual([file, line, column, more.length], ['feedings.csv', '7,778', 'Tank (tank)', 0]);
  assert.equal(await page.locator('#import-files').inputValue(), ''); // else a browser would not take the same file again
  await page.locator('#import-files').setInputFiles(feedings(10000));
  await verdict(FITS);
  assert.deepEqual(await cells('Rows'), [['Feedings', '10,000', '0']]);
  await button('Keep all of it').click();
  await verdict('All rows are in the record.');
  const [last] = (await service.get('/api/feedings?order=-at&limit=1')).items;
  assert.equal(last.at, new Date(Date.UTC(2026, 1, 1) + 9999 * 6e5).toISOString().replace('.000', ''));
  await page.locator('#import-files').setInputFiles(feedings(10000));
  await verdict('All of this is in the record already.');
  assert.deepEqual(await cells('Rows'), [['Feedings', '0', '10,000']]);
});

test('more_bad_rows_than_fit_are_counted', async () => {
  await choose(csv('feedings.csv', HEAD, ...Array.from({ length: 1400 }, () => '2026-03-02T08:00:00Z,T9,Pellet 32,400')));
  await verdict('Many rows do not fit. Mend the files and choose them again; nothing was kept.');
  const shown = (await cells(/What is wrong/)).length;
  await page.getByText(`And ${1400 - shown} more.`).waitFor();
  await page.getByRole('heading', { name: 'What is wrong: 1,400' }).waitFor();
});

test('the_keyboard_reaches_the_files_and_escape_leaves', async () => {
  await tablet.open('/farm/import');
  await page.locator('main .desk-tools a').focus();
  await page.keyboard.press('Tab');
  assert.equal(await page.evaluate(() => document.activeElement.id), 'import-files');
  const opened = page.waitForEvent('filechooser');
  await page.evaluate(() => 0); // by now the browser hands its dialog to us
  await page.keyboard.press('Enter');
  assert.equal((await opened).isMultiple(), true);
  await page.keyboard.press('Escape');
  await page.waitForURL('**/farm');
});

test('the_service_away_is_said_and_trying_again_works', async () => {
  await page.route('**/api/import', (route) => route.abort());
  await choose(filesOf('good-bom/input'));
  await verdict('The service did not answer: try again.');
  await page.unroute('**/api/import');
  await button('Try again').click();
  await verdict(/All rows fit|already/);
});

for (const theme of ['light', 'dark', 'sun']) {
  test(`the_outcome_can_be_heard_and_pressed_in_${theme}`, async () => {
    const one = await browser.newTablet(service, { staff: 1, theme, size: TABLET });
    await one.open('/farm/import');
    for (const [name, words] of [['bad-number', /do not fit/], ['good-lf', /All rows fit|already/]]) {
      await one.page.locator('#import-files').setInputFiles(filesOf(`${name}/input`));
      await one.page.locator('main .notice').getByText(words).waitFor();
      assert.deepEqual(await axeFindings(one.page, theme === 'light' ? undefined : ['color-contrast']), []);
      assert.deepEqual(await smallTargets(one.page), []);
    }
    assert.deepEqual(one.faults, []);
    await one.context.close();
  });
}

test('in_spanish_the_outcome_is_in_words', async () => {
  const one = await browser.newTablet(service, { staff: 1, language: 'es' });
  await one.open('/farm/import');
  for (const name of all.filter((n) => n.startsWith('bad-') && !textOf(`${n}/options.txt`))) {
    await one.page.locator('#import-files').setInputFiles(filesOf(`${name}/input`));
    const wrong = one.page.getByRole('region', { name: /Qué está mal/ });
    if (NO_TEXT.includes(name)) await one.page.getByText(/no se puede leer como texto/).waitFor();
    else {
      await eventually(async () => (await wrong.count()) === 1);
      assert.doesNotMatch(await wrong.innerText(), /\b(?:the|must|is|not|row|line)\b|\{\w+\}/i, name);
    }
  }
  await one.context.close();
});
