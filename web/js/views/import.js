/*
 * Import: CSV files of the exchange, first tried without keeping anything, then kept as a whole or not at all.
 */
import * as api from '../api.js';
import { announce, html, nothing, press, render } from '../dom.js';
import { number } from '../format.js';
import { fieldName, has, kindName, t } from '../i18n.js';
import { listenKeys } from '../keys.js';
import { mark } from '../marks.js';
import { errorText } from '../problems.js';
import { picks, tableFrame } from '../screen.js';
import { loadSetup } from '../setup.js';
import { go } from '../router.js';

const MOST_BYTES = 8 * 1024 * 1024;
const PATIENCE_MS = 10 * 60 * 1000;
const SEPARATORS = [[',', 'comma'], [';', 'semicolon'], ['\t', 'tab']];
const DECIMALS = [['.', 'point'], [',', 'comma']];

/* Reads files as UTF-8: {files: {name: text}, bad: names that are none}. */
async function readFiles(list) {
  const files = {};
  const bad = [];
  for (const file of list) {
    try {
      const text = new TextDecoder('utf-8', { fatal: true }).decode(await file.arrayBuffer());
      if (text.includes('\0')) bad.push(file.name); // UTF-16 without its mark, or no text at all
      else files[file.name] = text;
    } catch {
      bad.push(file.name);
    }
  }
  return { files, bad };
}

/** Mounts Import.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { setTitle }) {
  const state = { files: {}, sizes: [], bad: [], separator: ',', decimal: '.', busy: false, result: null, kept: false, fault: '', retry: null };

  async function choose(input) {
    const list = [...input.files];
    if (!list.length || state.busy) return;
    const { files, bad } = await readFiles(list);
    input.value = ''; // so that the same file, once mended, can be chosen again
    const sizes = [...list].map((f) => [f.name, f.size]);
    const size = sizes.reduce((sum, [, bytes]) => sum + bytes, 0);
    Object.assign(state, { files, bad, sizes, result: null, kept: false, fault: size > MOST_BYTES ? t('importing.too_large') : '' });
    draw();
    if (Object.keys(files).length && !bad.length && !state.fault) await send(true);
  }
  const badRows = () => new Set(state.result.errors.map((e) => `${e.file}/${e.line}`)).size;
  function verdict() {
    const { result } = state;
    if (result.errors?.length) return result.more_errors ? t('importing.refused_many') : t('importing.refused', { n: badRows(), shown: number(badRows()) });
    return t(state.kept ? 'importing.kept' : Object.values(result.rows).some((c) => c.new) ? 'importing.fits' : 'importing.nothing_new');
  }
  async function send(dry) {
    Object.assign(state, { busy: true, fault: '', retry: null, kept: false });
    draw();
    try {
      state.result = await api.post('/api/import', { files: state.files, dry_run: dry, separator: state.separator, decimal: state.decimal }, undefined, PATIENCE_MS);
      state.kept = !dry;
      if (state.kept) await loadSetup().catch(() => {});
    } catch (fault) {
      if (fault instanceof api.AwayError) Object.assign(state, { fault: t('importing.away'), retry: () => send(dry) });
      else if (fault instanceof api.ProblemError && fault.problem.errors) state.result = fault.problem;
      else if (fault instanceof api.ProblemError) state.fault = fault.message;
      else throw fault;
    }
    state.busy = false;
    draw();
    if (state.result && !state.fault) announce(verdict());
  }
  const pick = (name, value) => {
    Object.assign(state, { [name]: value, result: null, kept: false });
    if (state.separator === state.decimal) state[name === 'separator' ? 'decimal' : 'separator'] = name === 'separator' ? '.' : ';';
    draw();
    if (Object.keys(state.files).length && !state.fault) send(true);
  };

  const errors = (list, more) => html`<div class="part-head"><h2>${t('importing.errors', { n: list.length + more, shown: number(list.length + more) })}</h2></div>
    ${tableFrame(t('importing.errors', { n: list.length + more, shown: number(list.length + more) }), html`<table class="figures"><thead><tr><th scope="col">${t('importing.file')}</th><th scope="col">${t('importing.line')}</th><th scope="col" class="left">${t('field.field')}</th><th scope="col" class="left">${t('importing.wrong')}</th></tr></thead>
    <tbody>${list.map((e) => html`<tr><th scope="row">${e.file ?? ''}</th><td>${e.line ? number(e.line) : ''}</td><td class="left">${e.field ? (has(`field.${e.field}`) ? `${fieldName(e.field)} (${e.field})` : e.field) : ''}</td><td class="left wrap">${mark('red', '▲', errorText(e))}</td></tr>`)}</tbody></table>`)}${more ? html`<p class="said-days">${t('importing.more', { n: number(more) })}</p>` : nothing}`;

  const counts = (rows) => tableFrame(t('importing.rows'), html`<table class="figures narrow"><thead><tr><th scope="col">${t('importing.kind')}</th><th scope="col">${t('importing.new')}</th><th scope="col">${t('importing.same')}</th></tr></thead>
    <tbody>${Object.entries(rows).map(([kind, c]) => html`<tr><th scope="row"><a href="/farm/${kind}">${kindName(kind)}</a></th><td>${number(c.new)}</td><td>${number(c.same)}</td></tr>`)}</tbody></table>`);

  function outcome() {
    const { result } = state;
    if (state.busy) return html`<p class="notice" role="status">${t('importing.busy')}</p>`;
    if (state.fault) return html`<div class="notice bad" role="alert"><p>${state.fault}</p>${state.retry ? html`<button @click=${press(state.retry)}>${t('act.again')}</button>` : nothing}</div>`;
    if (!result) return nothing;
    if (result.errors?.length) return html`<p class="notice bad" role="alert">${verdict()}</p>${errors(result.errors, result.more_errors ?? 0)}`;
    const any = Object.values(result.rows).some((c) => c.new);
    return html`<p class="notice" role="status">${mark('ok', '✓', verdict())}${result.looks ? html` ${mark('amber', '△', t('importing.looks', { n: result.looks, shown: number(result.looks) }))}` : nothing}</p>${counts(result.rows)}
      ${state.kept || !any ? nothing : html`<div class="form-acts"><button class="main" @click=${press(() => send(false))}>${t('importing.keep')}</button></div>`}`;
  }
  const choice = (name, words) => picks(t(`importing.${name}`), words, ([sign]) => state[name] === sign, ([, word]) => t(`importing.signs.${word}`), ([sign]) => pick(name, sign));

  const kilobytes = (bytes) => `${number(Math.ceil(bytes / 100) / 10, 1)} kB`;
  const chosen = () => (state.sizes.length ? html`<ul class="chosen" aria-label=${t('importing.chosen')}>${state.sizes.map(([name, bytes]) => html`<li>${name} <small>${kilobytes(bytes)}</small></li>`)}</ul>` : nothing);

  const draw = () => {
    setTitle(t('importing.title'));
    render(html`<div class="desk"><div class="desk-tools no-print"><span class="grow"><a href="/farm">← ${t('farms.title')}</a></span></div>
      <div class="import-top"><p>${t('importing.what')}</p><div class="choose"><label class="button file">${t(state.sizes.length ? 'importing.choose_again' : 'importing.choose')}<input type="file" id="import-files" multiple accept=".csv,text/csv" @change=${(e) => choose(e.target)}></label>${chosen()}</div></div>
      <div class="question">${choice('separator', SEPARATORS)}${choice('decimal', DECIMALS)}</div>
      ${state.bad.map((name) => html`<p class="notice bad" role="alert">${t('importing.not_utf8', { name })}</p>`)}${outcome()}</div>`, el);
  };
  const stop = listenKeys({ leave: () => go('/farm') });
  draw();
  return { destroy: stop };
}
