/*
 * What every module of web/js keeps to, read from the sources: each export says what it is, one module asks the service, one draws
 * by lit-html, two keep things in the browser's database, and nothing is exported that nobody takes.
 */
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { test } from 'node:test';

const root = new URL('../../web/js/', import.meta.url);
const walk = (dir) => readdirSync(new URL(dir, root), { withFileTypes: true })
  .flatMap((e) => (e.isDirectory() ? walk(`${dir}${e.name}/`) : e.name.endsWith('.js') ? [`${dir}${e.name}`] : []));
const modules = walk('').filter((name) => !name.startsWith('words/')).map((name) => ({ name, text: readFileSync(new URL(name, root), 'utf8') }));
const views = modules.filter(({ name }) => name.startsWith('views/'));

/* {name, line, documented} of each export of a text; documented: a comment of two stars ends on the line before. */
function exportsOf(text) {
  const lines = text.split('\n');
  return lines.flatMap((line, i) => {
    const found = /^export (?:default|\{ *(\w+)|(?:async )?(?:function\*?|const|let|class) (\w+))/.exec(line);
    if (!found) return [];
    const before = lines.slice(0, i).join('\n');
    const comment = /\*\/\s*$/.test(lines[i - 1] ?? '') ? before.slice(before.lastIndexOf('/*')) : '';
    return [{ name: found[1] ?? found[2] ?? 'default', line: i + 1, documented: comment.startsWith('/**') && /\w{3}/.test(comment) }];
  });
}
const where = (found) => found.map(([module, what]) => `${module.name}: ${what}`);
const that = (pattern, except = []) => where(modules.filter(({ name }) => !except.includes(name)).flatMap((m) => [...m.text.matchAll(pattern)].map((found) => [m, found[0]])));

test('the_sources_were_found', () => {
  assert.ok(modules.length > 80 && views.length > 25, `${modules.length} modules, ${views.length} views`);
  assert.ok(modules.flatMap(({ text }) => exportsOf(text)).length > 250);
});

test('an_export_without_a_comment_would_be_found', () => {
  assert.deepEqual(exportsOf('/** What it is. */\nexport const a = 1;\n/* plain */\nexport function b() {}\n\nexport async function c() {}').map((e) => e.documented), [true, false, false]);
});

test('every_export_says_what_it_is', () => {
  assert.deepEqual(where(modules.flatMap((m) => exportsOf(m.text).filter((e) => !e.documented).map((e) => [m, `${e.line} ${e.name}`]))), []);
});

test('every_module_opens_with_what_it_is', () => {
  assert.deepEqual(where(modules.filter(({ text }) => !/^\/\*[\s\S]{20,}?\*\//.test(text)).map((m) => [m, m.text.split('\n')[0]])), []);
});

test('api_js_alone_asks_the_service', () => {
  assert.deepEqual(that(/\bfetch\(|XMLHttpRequest|sendBeacon/g, ['api.js']), []);
  assert.deepEqual(that(/new EventSource/g, ['live.js']), []);
});

test('what_waits_is_kept_by_the_outbox_alone', () => {
  assert.deepEqual(that(/\bindexedDB\b/g, ['outbox-store.js', 'answers-store.js']), []);
  assert.deepEqual(that(/from '[./]*outbox-store\.js'/g, ['outbox.js']), []);
  assert.deepEqual(that(/'\/api\/batch'/g, ['outbox.js']), []);
});

test('templates_are_lit_html_s_and_nothing_unsafe', () => {
  assert.deepEqual(that(/unsafe(?:HTML|SVG|Static)|innerHTML|insertAdjacentHTML|outerHTML/g), []);
  assert.deepEqual(that(/'\/lib\/lit-html\/(?!directives\/keyed)[^']*'/g, ['dom.js']), []);
});

test('every_view_is_mounted_or_a_part_of_one', () => {
  const isPart = ({ name }) => views.some((v) => v.text.includes(`from './${name.slice('views/'.length)}'`));
  const made = ['views/later.js']; // makes the view of each page to come
  assert.deepEqual(views.filter((m) => !/^export function mount\(el/m.test(m.text) && !isPart(m) && !made.includes(m.name)).map((m) => m.name), []);
  const screens = modules.find(({ name }) => name === 'screens.js').text;
  const named = [...screens.matchAll(/'\.\/(views\/[\w-]+\.js)'/g)].map((m) => m[1]).filter((name) => !made.includes(name));
  assert.ok(named.length > 25);
  assert.deepEqual(named.filter((name) => !/^export function mount\(el/m.test(views.find((v) => v.name === name)?.text ?? '')), []);
});

test('every_chart_has_a_pure_half_and_a_drawn_one', () => {
  const charts = modules.filter(({ name }) => name.startsWith('charts/') && name !== 'charts/axes.js');
  assert.ok(charts.length > 6);
  const lacks = (name, except = []) => where(charts.filter((m) => !except.includes(m.name) && !exportsOf(m.text).some((e) => e.name === name)).map((m) => [m, name]));
  assert.deepEqual(lacks('draw'), []);
  assert.deepEqual(lacks('toSeries', ['charts/range.js']), []); // one value a row: its pure half is the scale
  const pure = (text) => text.slice(text.indexOf('export function toSeries('), text.indexOf('\n}', text.indexOf('export function toSeries(')));
  assert.deepEqual(charts.filter(({ text }) => text.includes('function toSeries(') && /\bsvg`|\bdocument\b|Date\.now|\bapi\./.test(pure(text))).map((m) => m.name), []);
});

test('every_export_is_taken_by_someone', () => {
  const tests = readdirSync(new URL('.', import.meta.url)).filter((name) => name.endsWith('.mjs')).map((name) => readFileSync(new URL(name, import.meta.url), 'utf8')).join('\n');
  const alone = modules.flatMap((m) => exportsOf(m.text).map((e) => [m, e.name])).filter(([m, name]) => !(name === 'mount' && m.name.startsWith('views/')))
    .filter(([m, name]) => !new RegExp(`\\b${name}\\b`).test(tests) && !modules.some((o) => o !== m && new RegExp(`\\b${name}\\b`).test(o.text)));
  assert.deepEqual(where(alone), []);
});
