/* Every word that a screen can show stands in both catalogues: of the dictionary, and of the sources. */
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import calcEn from '../../web/js/words/calc-en.js';
import calcEs from '../../web/js/words/calc-es.js';
import mainEn from '../../web/js/words/en.js';
import mainEs from '../../web/js/words/es.js';
import { startService } from './support.mjs';

/* What a part adds to the main catalogue, as loadPart does: a word that is there already stays. */
function together(main, part) {
  const all = { ...main };
  for (const [key, value] of Object.entries(part)) all[key] = typeof value === 'object' ? together(all[key] ?? {}, value) : all[key] ?? value;
  return all;
}
const en = together(mainEn, calcEn);
const es = together(mainEs, calcEs);
const CATALOGUES = { en, es };
const find = (words, key) => key.split('.').reduce((node, part) => node?.[part], words);
const missingIn = (keys) => Object.entries(CATALOGUES).flatMap(([name, words]) => [...new Set(keys)].filter((key) => find(words, key) === undefined).map((key) => `${name}: ${key}`));

let service;
let record;
before(async () => {
  service = await startService();
  record = await service.get('/api/record');
});
after(() => service.stop());

test('every_kind_has_its_two_names', () => {
  assert.ok(record.kinds.length > 50);
  assert.deepEqual(missingIn(record.kinds.flatMap((k) => [`kind.${k.name}.one`, `kind.${k.name}.many`])), []);
});

test('every_field_and_report_column_has_a_name', () => {
  const fields = [...record.kinds.flatMap((k) => k.fields), ...record.reports.flatMap((r) => r.columns)];
  assert.ok(fields.length > 300);
  assert.deepEqual(missingIn(fields.map((f) => `field.${f.name}`)), []);
});

test('every_calculator_has_its_words', async () => {
  const { calculators } = await service.get('/api/calc');
  assert.ok(calculators.length >= 20);
  assert.deepEqual(missingIn(calculators.flatMap((c) => ['name', 'said', 'cautions'].map((part) => `calc.${part}.${c.name}`))), []);
  const fields = calculators.flatMap((c) => [...c.inputs, ...c.outputs]);
  assert.deepEqual(missingIn(fields.map((f) => (f.name === 'species' ? 'kind.species.one' : `field.${f.name}`))), []);
  assert.deepEqual(missingIn(fields.flatMap((f) => (f.words ?? []).map((word) => `choice.${f.name}.${word}`))), []);
});

test('a_caution_on_the_screen_is_the_service_s_own', async () => {
  const { calculators } = await service.get('/api/calc');
  const plain = (text) => text?.replaceAll('’', "'");
  for (const c of calculators) assert.equal(plain(calcEn.calc.cautions[c.name]), c.caution, c.name);
});

test('every_word_of_a_choice_has_words', () => {
  const missing = [];
  let seen = 0;
  for (const field of record.kinds.flatMap((k) => k.fields)) {
    for (const word of field.words ?? []) {
      seen += 1;
      for (const [name, words] of Object.entries(CATALOGUES)) {
        if (!find(words, `choice.${field.name}.${word}`) && !find(words, `choice.any.${word}`)) missing.push(`${name}: ${field.name} ${word}`);
      }
    }
  }
  assert.ok(seen > 100);
  assert.deepEqual(missing, []);
});

const sources = (dir) => readdirSync(dir, { withFileTypes: true }).flatMap((e) => (e.isDirectory() ? sources(new URL(`${e.name}/`, dir)) : e.name.endsWith('.js') ? [new URL(e.name, dir)] : []));

test('every_key_that_the_sources_name_is_there', () => {
  const keys = [];
  for (const file of sources(new URL('../../web/js/', import.meta.url))) {
    if (file.pathname.includes('/words/')) continue;
    const text = readFileSync(file, 'utf8');
    for (const [call] of text.matchAll(/\bt\(([^`)]*?)[,)]/g)) for (const [, key] of call.matchAll(/'([a-z_]+(?:\.[\w-]+)+)'/g)) keys.push(key);
    for (const [, key] of text.matchAll(/\btitle: '([a-z_]+(?:\.[\w-]+)+)'/g)) keys.push(key);
  }
  assert.ok(keys.length > 60, `only ${keys.length} keys were found`);
  assert.deepEqual(missingIn(keys), []);
});

/* Words of kinds, fields, choices, errors, notes and units are named by the dictionary and the service; the rest by the sources, whole or as `part.${name}`. */
test('no_word_is_left_that_nothing_says', () => {
  const text = sources(new URL('../../web/js/', import.meta.url)).filter((file) => !file.pathname.includes('/words/')).map((file) => readFileSync(file, 'utf8')).join('\n');
  const made = new Set([...text.matchAll(/`([a-z_]+(?:\.[\w-]+)*)\.?\$\{/g)].map((m) => m[1]));
  const isForms = (node) => typeof node === 'string' || (node.other && Object.keys(node).every((key) => ['one', 'other'].includes(key)));
  const keysOf = (node, path) => (isForms(node) ? [path] : Object.entries(node).flatMap(([name, child]) => keysOf(child, path ? `${path}.${name}` : name)));
  const keys = [mainEn, { calc: calcEn.calc }].flatMap((words) => keysOf(words, '')).filter((key) => !/^(?:kind|field|choice|error|noted|unit)\./.test(key));
  const isSaid = (key) => text.includes(`'${key}'`) || key.split('.').some((part, i, parts) => made.has(parts.slice(0, i + 1).join('.')) || made.has(parts.slice(0, i + 1).join('.').replace(/_[a-z]+$/, '_')));
  assert.ok(keys.length > 400, `${keys.length}`);
  assert.deepEqual(keys.filter((key) => !isSaid(key)), []);
});

const leaves = (node, path = '') => (typeof node === 'string' ? [[path, node]] : Object.entries(node).flatMap(([name, child]) => leaves(child, path ? `${path}.${name}` : name)));
const placeholders = (text) => [...text.matchAll(/\{(\w+)\}/g)].map((m) => m[1]).sort().join(' ');

test('both_catalogues_have_the_same_keys_and_placeholders', () => {
  const [a, b] = [new Map(leaves(en)), new Map(leaves(es))];
  assert.deepEqual([...a.keys()].filter((key) => !b.has(key)), []);
  assert.deepEqual([...b.keys()].filter((key) => !a.has(key)), []);
  const differ = [...a.keys()].filter((key) => !key.startsWith('error.') && placeholders(a.get(key)) !== placeholders(b.get(key)));
  assert.deepEqual(differ, []);
});

test('no_text_is_left_in_the_other_language', () => {
  const same = leaves(en).filter(([key, text]) => text === find(es, key) && /[a-z]{4,} [a-z]{3,}/i.test(text.replace(/\{\w+\}/g, '')));
  assert.deepEqual(same, []);
});

/* Codes that a person at a screen can meet: what the rules and the model find in an entry. */
test('every_code_of_a_rule_has_words', { skip: !process.env.WEIRBOOK_SOURCE && 'WEIRBOOK_SOURCE names no sources' }, () => {
  const codes = ['book', 'model'].flatMap((layer) => {
    const dir = new URL(`file://${process.env.WEIRBOOK_SOURCE}/server/${layer}/`);
    return readdirSync(dir).filter((name) => name.endsWith('.c')).flatMap((name) => {
      const text = readFileSync(new URL(name, dir), 'utf8');
      return [...text.matchAll(/(?:err_set\(\s*\w[\w>.-]*,\s*(?:ERR_INPUT|ERR_CONFLICT|ERR_STALE|ERR_NEEDS_MATCH|rc),|refuse\(j,)[^;]*?"(?:[a-z_]*)",\s*"([a-z_]+)"/gs)].map((m) => m[1]);
    });
  });
  const inFiles = ['book/import.c', 'book/import_row.c', 'book/repeat.c', 'base/csv.c'].flatMap((name) => [...readFileSync(`${process.env.WEIRBOOK_SOURCE}/server/${name}`, 'utf8')
    .matchAll(/(?:err_set\(\s*\w+, ERR_INPUT, [\w>.-]+,|fault\([^;"]*?)\s*"([a-z_]+)"/gs)].map((m) => m[1]));
  assert.ok(inFiles.length > 8 && inFiles.includes('csv_nul') && inFiles.includes('skipped_hour'), inFiles.join());
  codes.push(...inFiles);
  assert.ok(codes.length > 20, `only ${codes.length} codes were found`);
  assert.deepEqual(missingIn(codes.map((code) => `error.${code}`)), []);
});

test('every_note_and_reason_of_a_report_has_words', { skip: !process.env.WEIRBOOK_SOURCE && 'WEIRBOOK_SOURCE names no sources' }, () => {
  const dir = new URL(`file://${process.env.WEIRBOOK_SOURCE}/server/book/`);
  const text = readdirSync(dir).filter((name) => name.endsWith('.c')).map((name) => readFileSync(new URL(name, dir), 'utf8')).join('\n');
  const notes = [...text.matchAll(/report_add_note\([^;"]*"([a-z_]+)"/gs)].map((m) => m[1]);
  const conversions = readFileSync(new URL('conversion.c', dir), 'utf8');
  const reasons = [...conversions.matchAll(/reason = "([a-z_]+)"/g)].map((m) => m[1]);
  assert.ok(notes.length >= 5, `only ${notes} were found`);
  assert.ok(reasons.length >= 2, `only ${reasons} were found`);
  assert.deepEqual(missingIn([...notes.map((code) => `noted.${code}`), ...reasons.map((code) => `tanks.why.${code}`)]), []);
});
