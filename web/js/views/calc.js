/*
 * The calculators: a list, and each with its inputs, a live result, its source and what to beware of.  All of it is
 * drawn from GET /api/calc; the service computes.  Nothing typed here is an entry.
 */
import * as api from '../api.js';
import { html, nothing, press, repeat } from '../dom.js';
import { DASH, forTyping, plain, readNumber, unitSign } from '../format.js';
import { choiceWord, fieldName, has, loadPart, t } from '../i18n.js';
import { listenKeys } from '../keys.js';
import { errorText } from '../problems.js';
import { go, keepQuery } from '../router.js';
import { runScreen } from '../screen.js';
import { fromShown, said, toShown } from '../units.js';

const WAIT_MS = 200; // after the last key, before the service is asked
/* An input of pH makes a false digit of what follows the second. */
const DIGITS = { fraction: 2, nh3_n_mg_l: 2, co2_mg_l: 2, converted: 6 };
const SIGNS = { 'mg/kg/h': 'mg/kg/h', 'MJ/m2/day': 'MJ/m²/d', 'mol/m2/day': 'mol/m²/d' };
const UNIT_CHOSEN = { converted: 'to_unit' }; // an output whose unit is what was chosen there
const SPECIES = 'species'; // chosen by name from the record
const sign = (unit) => SIGNS[unit] ?? unitSign(unit);
const RANGE_SAID = 100000; // what is bounded far above any farm needs no words
const PARTS = ['fraction']; // shares of one, read in percent
const TOPICS = ['water', 'doses', 'fish', 'crops', 'units'];

const nameOf = (calc) => (has(`calc.name.${calc.name}`) ? t(`calc.name.${calc.name}`) : calc.summary);
const saidOf = (calc) => (has(`calc.said.${calc.name}`) ? t(`calc.said.${calc.name}`) : calc.summary);
const cautionOf = (calc) => (has(`calc.cautions.${calc.name}`) ? t(`calc.cautions.${calc.name}`) : calc.caution);

function figure(field, value) {
  if (value === null || value === undefined) return DASH;
  if (typeof value === 'string') return has(`round.reasons.${value}`) ? t(`round.reasons.${value}`) : value;
  const shown = PARTS.includes(field.name) ? 100 * value : toShown(field, value);
  if (Number.isInteger(shown)) return plain(shown, 0);
  return plain(Number(shown.toPrecision(DIGITS[field.name] ?? 4)), 8);
}
const unitSaid = (field) => (PARTS.includes(field.name) ? '%' : said(field).unit && sign(said(field).unit));

/* The range where it says something, and what an empty field counts as. */
function hint(field) {
  if (field.kind !== 'number') return nothing;
  const unit = unitSaid(field) ?? '';
  const words = [];
  if (field.high <= RANGE_SAID) words.push(t(unit ? 'calc.range_unit' : 'calc.range', { low: plain(toShown(field, field.low), 3), high: plain(toShown(field, field.high), 1), unit }));
  if (field.usual !== undefined) words.push(t(unit ? 'calc.usual_unit' : 'calc.usual', { value: plain(toShown(field, field.usual), 4), unit }));
  return words.length ? html`<small class="hint" id="hint-${field.name}">${words.map((text) => `${text}.`).join(' ')}</small>` : nothing;
}

/* [[group, words], ...] of words that stand with the others of their group. */
function inGroups(words) {
  const groups = [];
  for (const word of words) {
    if (!groups.length || groups.at(-1)[0] !== word[2]) groups.push([word[2], []]);
    groups.at(-1)[1].push(word);
  }
  return groups;
}

const row = (c) => html`<li><a href="/calc/${c.name}"><b>${nameOf(c)}</b><small>${saidOf(c)}</small></a></li>`;
const list = (calculators) => html`<div class="desk calcs"><p class="section soft">${t('calc.what')}</p>
  ${TOPICS.map((topic) => html`<h2 class="section">${t(`calc.topic.${topic}`)}</h2><ul class="more-list">${repeat(calculators.filter((c) => c.topic === topic), (c) => c.name, row)}</ul>`)}</div>`;

/** Mounts the list of calculators, or the one in params.name; its inputs stand in the address, in the units of the service.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { params, query, setTitle }) {
  const typed = new Map(); // as it stands in the fields, in the farm's units
  let answer = null; // {outputs} | {errors} | {away}
  let asked = 0;
  let timer = 0;
  let screen = null;
  let shown = null; // the calculator at hand

  const textOf = (field) => typed.get(field.name) ?? '';
  const missing = () => shown.inputs.filter((f) => f.required && !textOf(f));

  /* The words of a field, with their group; a second field in groups has those of the group chosen in the first. */
  function offered(field) {
    if (!field.words) return [];
    const words = field.words.map((word, i) => [word, choiceWord(field.name, word), field.groups?.[i]]);
    const first = field.groups && shown.inputs.find((f) => f.groups);
    const group = first && first !== field && textOf(first) ? first.groups[first.words.indexOf(textOf(first))] : undefined;
    return group ? words.filter(([, , of]) => of === group) : words;
  }
  /* Numbers as the service reads them; null where one is no number. */
  function asAddress() {
    const given = new URLSearchParams();
    for (const field of shown.inputs) {
      const text = textOf(field).trim();
      if (!text) continue;
      const value = field.kind === 'number' ? fromShown(field, readNumber(text)) : text;
      if (Number.isNaN(value)) return { wrong: field };
      given.set(field.name, value);
    }
    return { given, path: `/api/calc/${shown.name}?${given}` };
  }
  /* The address holds the service's units, so that it means the same on every farm. */
  function fromAddress() {
    for (const field of shown.inputs) {
      const text = new Map(query).get(field.name);
      if (!text) continue;
      typed.set(field.name, field.kind === 'number' && readNumber(text) === Number(text) ? forTyping(toShown(field, Number(text))) : text);
    }
  }

  async function work() {
    const address = asAddress();
    asked += 1;
    const mine = asked;
    if (address.wrong) answer = { errors: [{ field: address.wrong.name, code: '', message: t('calc.number', { field: fieldName(address.wrong.name) }) }] };
    else if (missing().length || !typed.size) answer = null;
    else {
      let got = null;
      try {
        got = { outputs: (await api.getOnce(address.path)).outputs };
      } catch (fault) {
        if (fault instanceof api.ProblemError) got = { errors: fault.errors.length ? fault.errors : [{ field: '', code: '', message: fault.message }] };
        else if (fault instanceof api.AwayError) got = { away: true };
        else throw fault;
      }
      if (mine !== asked) return; // something was typed meanwhile
      answer = got;
    }
    screen.draw();
  }
  function type(field, text) {
    if (text) typed.set(field.name, text);
    else typed.delete(field.name);
    for (const other of shown.inputs) if (offered(other).every(([word]) => word !== textOf(other)) && other.groups) typed.delete(other.name);
    keepQuery(Object.fromEntries(asAddress().given ?? []));
    answer = null; // never an old result beside new inputs
    asked += 1;
    clearTimeout(timer);
    timer = setTimeout(work, WAIT_MS);
    screen.draw();
  }
  function clear() {
    typed.clear();
    answer = null;
    asked += 1;
    keepQuery({});
    screen.draw();
    el.querySelector('.calc-inputs input, .calc-inputs select')?.focus();
  }

  const wordsOf = (field, species) => (field.kind === 'word' ? offered(field) : species.map((row) => [row.name, row.name]));
  const options = (field, words) => words.map(([value, word]) => html`<option value=${value} ?selected=${textOf(field) === value}>${word}</option>`);
  const isChosen = (field) => field.kind === 'word' || field.name === SPECIES;
  const control = (field, species, bad) => {
    const about = `hint-${field.name} fault-${field.name}`;
    if (!isChosen(field)) {
      return html`<input id="in-${field.name}" inputmode=${field.kind === 'number' ? 'decimal' : 'text'} autocomplete="off" enterkeyhint="done" .value=${textOf(field)} aria-describedby=${about} aria-invalid=${bad ? 'true' : 'false'} ?required=${field.required}
        @input=${(e) => type(field, e.target.value)}>`;
    }
    return html`<select id="in-${field.name}" aria-describedby=${about} aria-invalid=${bad ? 'true' : 'false'} ?required=${field.required} @change=${(e) => type(field, e.target.value)}>
      ${field.kind === 'word' && !field.required ? nothing : html`<option value="" ?selected=${!textOf(field)}>${t('calc.pick')}</option>`}
      ${inGroups(wordsOf(field, species)).map(([group, words]) => (group ? html`<optgroup label=${t(`calc.group.${group}`)}>${options(field, words)}</optgroup>` : options(field, words)))}</select>`;
  };
  const input = (field, species) => {
    const faults = (answer?.errors ?? []).filter((e) => e.field === field.name);
    return html`<div class="field"><label for="in-${field.name}">${fieldName(field.name)}${unitSaid(field) ? html` <span class="unit">${unitSaid(field)}</span>` : nothing}${field.required ? html`<span class="needed">${t('calc.needed')}</span>` : nothing}</label>
      ${control(field, species, faults.length > 0)}${hint(field)}
      <p class="field-error" id="fault-${field.name}">${faults.map((e) => html`<span>${e.code ? errorText(e) : e.message}</span>`)}</p></div>`;
  };
  const others = () => (answer?.errors ?? []).filter((e) => !shown.inputs.some((f) => f.name === e.field));

  function status() {
    if (answer?.away) return html`<p>${t('calc.away')}</p>`;
    if (others().length) return html`<p class="field-error">${others().map((e) => html`<span>${e.code ? errorText(e) : e.message}</span>`)}</p>`;
    if (!answer && missing().length) return html`<p class="soft">${t('calc.still', { fields: missing().map((f) => fieldName(f.name)).join(', ') })}</p>`;
    if (answer?.outputs && 'fcr_economic' in answer.outputs && answer.outputs.gain_g <= 0) return html`<p>${t('calc.no_gain')}</p>`;
    if (answer?.outputs && Object.values(answer.outputs).every((v) => v === null)) return html`<p>${t('calc.none')}</p>`;
    return nothing;
  }
  function unitOf(field) {
    const chosen = UNIT_CHOSEN[field.name];
    return chosen ? choiceWord(chosen, typed.get(chosen)).split(', ')[0] : unitSaid(field);
  }
  /* Enter puts the keys away and brings the answer into view. */
  function toResult(e) {
    if (e.key !== 'Enter' || e.target.tagName !== 'INPUT') return;
    e.target.blur();
    el.querySelector('.calc-result').scrollIntoView({ block: 'nearest' });
  }
  const result = (field) => html`<div class="calc-figure"><dt>${fieldName(field.name)}</dt><dd data-output=${field.name}>${figure(field, answer?.outputs?.[field.name])}${unitOf(field) && answer?.outputs?.[field.name] != null ? html` <span class="unit">${unitOf(field)}</span>` : nothing}</dd></div>`;

  const one = ({ species }) => html`<div class="desk calc">
    <p class="calc-back soft"><a href="/calc">${t('calc.all')}</a> <span>${saidOf(shown)}</span></p>
    <div class="calc-both"><form class="calc-inputs form-fields" @keydown=${toResult} @submit=${(e) => e.preventDefault()}>${repeat(shown.inputs, (f) => f.name, (f) => input(f, species))}
      <button type="button" class="tool" @click=${press(clear)}>${t('calc.clear')}</button></form>
    <section class="calc-result" aria-labelledby="calc-result"><h2 id="calc-result">${t('calc.result')}</h2>
      <div role="status">${status()}<dl>${repeat(shown.outputs, (f) => f.name, result)}</dl></div>
      ${cautionOf(shown) ? html`<p class="calc-caution"><b>${t('calc.caution')}.</b> ${cautionOf(shown)}</p>` : nothing}
      <p class="calc-from"><b>${t('calc.formula')}.</b> <span lang="en">${shown.formula}</span></p><p class="calc-from"><b>${t('calc.source')}.</b> <span lang="en">${shown.source}</span></p></section></div></div>`;

  const view = (data) => {
    const before = shown;
    shown = data.calculators.find((c) => c.name === params.name) ?? null;
    setTitle(shown ? nameOf(shown) : t('calc.title'), '');
    if (shown && !before) fromAddress();
    if (shown && !before && typed.size) timer = setTimeout(work, 0);
    return shown ? one(data) : list(data.calculators);
  };
  screen = runScreen(el, {
    ask: async () => {
      await loadPart('calc');
      const { calculators } = await api.get('/api/calc');
      const reads = calculators.find((c) => c.name === params.name)?.inputs.some((f) => f.name === SPECIES);
      return { calculators, species: reads ? (await api.getAll('/api/species')).filter((row) => !row.retired_on) : [] };
    },
    view,
  });
  const stop = params.name ? listenKeys({ leave: () => go('/calc'), more: [[['Enter'], 'calc_enter']] }) : () => {};
  return { ...screen, destroy: () => { clearTimeout(timer); stop(); screen.destroy(); } };
}
