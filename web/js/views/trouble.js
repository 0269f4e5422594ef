/* Trouble: the bad day.  One press from everywhere; the same page printed is the emergency card. */
import * as api from '../api.js';
import { loadDay, stopsOf } from '../day.js';
import { html, keepFocus, nothing, oneAtATime, press, render, repeat } from '../dom.js';
import { enter, enterUnder } from '../enter.js';
import { age, asText, clock, massFromUnit, massUnit, massUnits, massToUnit, number, reading } from '../format.js';
import { ownWords, t } from '../i18n.js';
import { openPad } from '../forms/pad.js';
import { codeClass, mark } from '../marks.js';
import { KEPT, undo, waiting } from '../outbox.js';
import { farm, isLoaded } from '../setup.js';
import { clockNow, setupNow } from '../stops.js';
import { beginIncident, endIncident, holdAll, holding, openIncident, release } from '../trouble.js';
import { offerUndo } from '../undo.js';
import { sweep, takeReadings } from '../water.js';
import WORDS from '../words/trouble.js';

const KINDS = ['air', 'power', 'water', 'leak', 'dying'];
const CAUTIONS_OF = { air: ['electric', 'oxygen', 'gas'], power: ['electric', 'gas', 'oxygen'], water: ['drugs', 'gas'], leak: ['electric', 'gas'], dying: ['drugs', 'food'] };
const LOGGED = [['water-tests', 'logged_readings'], ['fish-deaths', 'logged_dead'], ['handovers', 'logged_notes']];

const w = ownWords(WORDS);

/* The kind of an incident by its words, in whatever language it was begun. */
const kindOfIncident = (incident) => KINDS.find((kind) => Object.values(WORDS).some((words) => words.kinds[kind] === incident?.what));

/* An incident in the reader's language, where its words are ours. */
const whatOf = (incident) => {
  const kind = kindOfIncident(incident);
  return kind ? w(`kinds.${kind}`) : incident?.what ?? '';
};

/*
 * Minutes of air: worked out by the service alone.
 */
async function loadAir() {
  try {
    return await api.get('/api/reports/air');
  } catch (fault) {
    if (fault instanceof api.AwayError || fault.status === 404) return null;
    throw fault;
  }
}

/* The clock of a tablet is corrected to a second or so. */
const CLOCKS_DIFFER_MS = 2000;

/* A reading from before the trouble says little about now. */
function readText(stop, since) {
  const oxygen = stop?.oxygen;
  if (!oxygen) return w('never');
  const isBefore = since && Date.parse(oxygen.at) < Date.parse(since) - CLOCKS_DIFFER_MS;
  if (isBefore) return html`${w('read', { value: asText(reading('do_mg_l', oxygen.value, oxygen.bound)), age: age(oxygen.at) })} ${mark('amber', '△', w('before'))}`;
  return html`${w('read', { value: asText(reading('do_mg_l', oxygen.value, oxygen.bound)), age: age(oxygen.at) })} ${oxygen.stale ? mark('amber', '△', w('old')) : nothing}`;
}

function airRow({ code, minutes, isOld }, stop, act, since) {
  const known = minutes !== null && minutes !== undefined;
  return html`<li><span class=${codeClass(code)}>${code}</span>
    <span class="left ${known && !isOld ? '' : 'soft'}"><b>${known ? w('minutes', { n: number(minutes, 0) }) : w('unknown')}</b><small>${readText(stop, since)}</small></span>
    <button class="no-print" @click=${press(() => act(() => readOxygen(stop)))}>${w('oxygen')}</button>
    <button class="no-print" @click=${press(() => act(() => takeDead(stop)))}>${w('dead')}</button></li>`;
}

const readOxygen = (stop) => takeReadings({ place: stop.row, quantities: ['do_mg_l', 'temperature_c'], species: stop.stock?.lots.map((l) => l.species) ?? [], lastOf: (q) => (q === 'do_mg_l' ? stop.oxygen : stop.temperature) });

function takeDead(stop) {
  const unit = massUnit(5000);
  return openPad({
    title: w('dead_pad', { place: stop.code }),
    fields: [
      { name: 'fish', label: w('fish'), unit: '', whole: true, low: 1, high: 1e8 },
      { name: 'weight', label: w('weight'), unit, units: massUnits(), low: 0, high: massToUnit(1e10, unit), toUnit: (value, from, to) => massToUnit(massFromUnit(value, from), to) },
    ],
    saveLabel: () => w('dead_save'),
    save: ({ fish, weight }, units) => enter('fish-deaths', {
      tank_id: stop.row.id, ...(fish === undefined ? {} : { fish }), ...(weight === undefined ? {} : { weight_g: Number(massFromUnit(weight, units.weight).toPrecision(12)) }),
    }, w('dead_said', { place: stop.code })),
  });
}

function airView({ air, stops, since }, act) {
  const tanks = stops.filter((s) => s.sort === 'tank' && s.stock);
  if (!tanks.length) return nothing;
  const rows = air ? air.rows.map((r) => ({ code: r.tank, minutes: r.air_left_min, isOld: r.is_old, usual: r.usual_stop || r.usual_uptake })) : tanks.map((s) => ({ code: s.code, minutes: null }));
  const stopOf = (code) => tanks.find((s) => s.code === code);
  const inOrder = rows.filter((r) => stopOf(r.code));
  const places = () => inOrder.map(({ code }) => ({ row: stopOf(code).row, last: stopOf(code).oxygen, species: stopOf(code).stock.lots.map((l) => l.species) }));
  return html`<section class="trouble-part" aria-labelledby="air-title"><h2 id="air-title">${w('air_title')}</h2>
    <p class="soft">${air ? html`${w('air_what')} ${inOrder.some((r) => r.usual) ? w('usual') : ''} ${w('as_of', { age: age(air.as_of) })}` : mark('amber', '△', w('no_report'))}</p>
    <p class="no-print"><button class="wide" @click=${press(() => act(() => sweep('do_mg_l', places())))}>${w('sweep')}</button></p>
    <ol class="air">${repeat(inOrder, (r) => r.code, (r) => airRow(r, stopOf(r.code), act, since))}</ol></section>`;
}

/*
 * Steps and cautions.
 */
const stepList = (kind, under = {}) => html`<ol class="steps">${w(`steps.${kind}`).map((step, i) => html`<li>${step}${under[i] ?? nothing}</li>`)}</ol>`;

/* Which tanks get air first, at the step that says so: the list itself stands further down on a tablet. */
const AIR_STEP = 2; // of steps.all
const FIRST_TANKS = 3;
function firstTanks(air) {
  const rows = (air?.rows ?? []).filter((r) => r.air_left_min !== null && !r.is_old).slice(0, FIRST_TANKS);
  return rows.length ? html`<span class="goes-first no-print">${rows.map((r) => html`<span><b class=${codeClass(r.tank)}>${r.tank}</b> ${w('minutes', { n: number(r.air_left_min, 0) })}</span>`)}</span>` : nothing;
}
const cautionList = (names) => html`<section class="trouble-part cautions" aria-labelledby="cautions-title"><h2 id="cautions-title">${w('cautions_title')}</h2><ul>${[...names, 'law'].map((name) => html`<li>${mark('amber', '△', w(`cautions.${name}`))}</li>`)}</ul></section>`;

/* The gravest of them once more where hands reach for something; the whole list stands further down on a tablet. */
const careFirst = (kind) => html`<p class="no-print">${mark('amber', '△', w(`cautions.${CAUTIONS_OF[kind][0]}`))}</p>`;

/* On paper all of it stands, with lines to write who to call. */
const paper = () => html`<div class="only-print"><p>${farm().name ?? ''}</p>${KINDS.map((kind) => html`<section><h2>${w(`kinds.${kind}`)}</h2>${stepList(kind)}</section>`)}
  <section><h2>${w('call')}</h2><table class="call">${w('call_blank').map((who) => html`<tr><th scope="row">${who}</th><td></td></tr>`)}</table></section></div>`;

/*
 * The incident, and feeding.
 */
function incidentView(state, acts) {
  const { incident } = state;
  if (!incident) {
    return html`<section class="trouble-part no-print" aria-labelledby="what-title"><h2 id="what-title">${w('what')}</h2>
      <div class="trouble-kinds">${KINDS.map((kind) => html`<button @click=${press(() => acts.begin(kind))}>${w(`kinds.${kind}`)}</button>`)}</div><p class="soft">${w('again')}</p></section>`;
  }
  const logged = LOGGED.map(([kind, word]) => [word, state.logged[kind]]).filter(([, n]) => n).map(([word, n]) => w(word, { n }));
  return html`<section class="trouble-part open" aria-labelledby="what-title"><h2 id="what-title">${mark('red', '!', w('since', { what: whatOf(incident), time: clock(incident.began_at) }))}</h2>
    <p>${w('logged')}: ${logged.join(', ') || w('nothing_logged')}</p>
    <div class="trouble-kinds no-print"><button @click=${press(acts.note)} aria-expanded=${state.noting}>${w('done')}</button><button @click=${press(acts.over)}>${w('over')}</button></div>
    ${state.noting ? html`<form @submit=${acts.saveNote} class="no-print"><label class="field"><span>${w('done_label')}</span><textarea name="what" rows="3" maxlength="2000" required></textarea></label><button class="main wide">${w('save')}</button></form>` : nothing}</section>`;
}

function holdView(acts) {
  const { feeding, held, keys } = holding();
  return html`<section class="trouble-part no-print" aria-label=${w('hold')}>
    ${feeding.length ? html`<button class="alarm wide hold" @click=${press(acts.hold)}><span>${w('hold')}<span class="under">${w('hold_under', { n: feeding.length })}</span></span></button>` : nothing}
    ${held.length ? html`<p>${mark('ok', '✓', w('held', { n: held.length }))}</p>` : nothing}
    ${keys.length ? html`<button class="wide" @click=${press(() => acts.release(keys))}>${w('release')}</button>` : nothing}
    ${feeding.length || held.length ? nothing : html`<p class="soft">${w('no_plans')}</p>`}</section>`;
}

/* What was logged under the incident, on the service and on this tablet. */
async function countLogged(incident) {
  const counts = {};
  for (const [kind] of LOGGED) {
    let items = [];
    if (incident.id) {
      try {
        items = await api.getAll(`/api/${kind}?incident_id=${incident.id}`);
      } catch (fault) {
        if (!(fault instanceof api.AwayError)) throw fault;
      }
    }
    const here = waiting(kind).filter((r) => r.op === 'create' && r.fields.incident_id === incident.key).map((r) => r.fields);
    counts[kind] = [...items, ...here].reduce((n, e) => n + (kind === 'fish-deaths' ? e.fish ?? 0 : 1), 0);
  }
  return counts;
}

/** Mounts Trouble.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { setTitle }) {
  const state = { incident: null, logged: {}, day: null, air: null, noting: false };
  const act = oneAtATime(() => update());
  let gone = false;

  const what = () => state.incident?.what ?? w('kinds.dying');
  const acts = {
    begin: (kind) => act(async () => {
      state.incident = await beginIncident(w(`kinds.${kind}`));
      const { key } = state.incident;
      offerUndo({ said: w('begun', { what: state.incident.what }), state: stateOf('incidents', key), take: () => undo('incidents', key, w('over')) });
    }),
    over: () => act(async () => {
      await endIncident(state.incident);
      state.incident = null;
    }),
    note: () => {
      state.noting = !state.noting;
      draw();
      el.querySelector('textarea')?.focus();
    },
    saveNote: (event) => {
      event.preventDefault();
      const said = event.target.what.value.trim();
      if (!said) return;
      act(async () => {
        await enter('handovers', { what: said }, w('done_said'));
        state.noting = false;
      });
    },
    hold: () => act(async () => {
      const keys = await holdAll(w('hold_reason', { what: what() }));
      offerUndo({ said: w('hold_said'), state: keys.some((k) => stateOf('feeding-plans', k) === KEPT) ? KEPT : 'recorded', take: () => release(keys, w('release_why')) });
    }),
    release: (keys) => act(() => release(keys, w('release_why'))),
  };
  const stateOf = (kind, key) => (waiting(kind).some((r) => r.key === key) ? KEPT : 'recorded');

  function draw() {
    if (gone) return;
    setTitle(t('trouble.title'), whatOf(state.incident));
    const kind = kindOfIncident(state.incident);
    const stops = state.day && isLoaded() ? stopsOf(state.day, setupNow(), clockNow()) : [];
    keepFocus(el, () => render(html`<div class="trouble-page"><div class="trouble-acts">${incidentView(state, acts)}${isLoaded() ? holdView(acts) : nothing}
      <section class="trouble-part" aria-labelledby="steps-title"><h2 id="steps-title">${w('steps_title')}</h2>${stepList('all', { [AIR_STEP]: firstTanks(state.air) })}${kind ? html`<h3>${w(`kinds.${kind}`)}</h3>${careFirst(kind)}${stepList(kind)}` : nothing}</section></div>
      <div class="trouble-facts">${airView({ air: state.air, stops, since: state.incident?.began_at }, act)}${cautionList(kind ? CAUTIONS_OF[kind] : ['electric', 'gas', 'oxygen', 'drugs', 'food'])}
      <p class="no-print trouble-part"><button @click=${press(() => globalThis.print())}>${w('card')}</button></p></div>${paper()}</div>`, el));
  }

  async function update() {
    const ask = async (name, question) => {
      try {
        state[name] = await question();
      } catch (fault) {
        api.passKnown(fault);
      }
    };
    await Promise.all([ask('incident', openIncident), ask('day', loadDay), ask('air', loadAir)]);
    if (gone) return;
    enterUnder(state.incident?.key ?? null);
    if (state.incident) await ask('logged', () => countLogged(state.incident));
    draw();
  }

  draw();
  return {
    update,
    destroy: () => {
      gone = true;
      enterUnder(null);
    },
  };
}
