/* Water: every place by quantity, each value with its age and its state against the limits of what lives there. */
import * as api from '../api.js';
import { html, nothing, press, repeat } from '../dom.js';
import { age, asText, longDay, farmDay, number, plain, quantityDecimals, quantityToShown, reading } from '../format.js';
import { fieldName, kindName, t } from '../i18n.js';
import { codeClass, footing, measure } from '../marks.js';
import { loadProbes, probesPart } from '../probes.js';
import { csvLink, printButton, runScreen, tableFrame, tools } from '../screen.js';
import { place, walk } from '../setup.js';
import { stateMark } from '../water.js';

const FIRST = ['do_mg_l', 'saturation_pct', 'temperature_c', 'ph', 'tan_mg_l', 'nh3_n_mg_l', 'nitrite_n_mg_l', 'nitrate_n_mg_l', 'alkalinity_mg_l'];
const rank = (q) => (FIRST.indexOf(q) + 1 || 99);

const shown = (row, name) => number(quantityToShown(row.quantity, row[name]), quantityDecimals(row.quantity));
function limits(row) {
  if (row.low === null && row.high === null) return nothing;
  if (row.high === null) return html`<small class="under">${t('water.from', { value: shown(row, 'low') })}</small>`;
  if (row.low === null) return html`<small class="under">${t('water.to', { value: shown(row, 'high') })}</small>`;
  return html`<small class="under">${t('tanks.range', { low: shown(row, 'low'), high: shown(row, 'high') })}</small>`;
}
/* The page of what was read of a quantity at a place.  @param {string} code @param {string} quantity @returns {string} */
const historyAddress = (code, quantity) => `/water/of/${encodeURIComponent(code)}?of=${quantity}`;
/* A value leads to all that was read of it there. */
const value = (row) => html`<a class="water-value" href=${historyAddress(row.place, row.quantity)}><span class="num">${footing(row.computed ? 'estimated' : 'measured')}${measure(reading(row.quantity, row.value, row.bound))}</span> ${stateMark(row.state)}
  <small class="under">${row.computed ? html`${t('waters.computed')} · ` : nothing}<span class="age">${age(row.at)}</span>${row.is_old ? html` · ${t('waters.old')}` : nothing}</small>${limits(row)}</a>`;

/* What a value rests on: as the kit read it, the formula with its figures, and where the limits come from. */
function whyLine(row) {
  const said = [];
  if (row.as_read !== null) said.push(t('waters.as_read', { value: asText(reading(row.quantity, row.as_read)) }));
  if (row.computed && row.explain) {
    said.push(`${row.explain.formula} (${Object.entries(row.explain.inputs).map(([name, value]) => `${fieldName(name)} ${plain(value, 2)}`).join(', ')})`, row.explain.source);
  }
  if (row.limit_source) said.push(`${t('waters.of_limit')}: ${row.limit_source}`);
  return said.length ? html`<dt>${fieldName(row.quantity)} ${asText(reading(row.quantity, row.value, row.bound))}</dt><dd>${said.join(' · ')}</dd>` : nothing;
}

const TABLE_MOST = 4; // quantities that stand side by side on a tablet
const quantitiesOf = (rows) => [...new Set(rows.map((r) => r.quantity))].sort((a, b) => rank(a) - rank(b));
const placesOf = (rows) => {
  const order = new Map(walk().map((p, i) => [p.row.code, i]));
  return [...new Set(rows.map((r) => r.place))].sort((a, b) => (order.get(a) ?? 999) - (order.get(b) ?? 999));
};
const placeName = (code) => html`<a class=${codeClass(code)} href="/at/${encodeURIComponent(code)}">${code}</a> <small>${place(code)?.row.name ?? ''}</small>`;
const whyButton = (code, state) => html`<button class="quiet why-button no-print" aria-expanded=${state.open === code ? 'true' : 'false'} @click=${press(() => state.toggle(code))}>${t(state.open === code ? 'waters.why_close' : 'alarms.why')}<span class="unseen"> ${code}</span></button>`;
const why = (rows) => html`<div class="why"><dl class="why-facts">${rows.map(whyLine)}</dl></div>`;

/* Places of which few quantities are read, such as tanks: one row each. */
function placesTable(rows, label, state) {
  const quantities = quantitiesOf(rows);
  const of = (code, quantity) => rows.find((r) => r.place === code && r.quantity === quantity);
  return tableFrame(label, html`<table class="figures waters-table stack-phone"><thead><tr><th scope="col">${label}</th>${quantities.map((q) => html`<th scope="col">${fieldName(q)}</th>`)}<td class="no-print"></td></tr></thead>
    <tbody>${repeat(placesOf(rows), (code) => code, (code) => html`<tr><th scope="row">${placeName(code)}</th>${quantities.map((q) => html`<td data-label=${fieldName(q)}>${of(code, q) ? value(of(code, q)) : html`<span class="soft">–</span>`}</td>`)}<td class="no-print">${whyButton(code, state)}</td></tr>${state.open === code ? html`<tr class="why-row"><td colspan=${quantities.length + 2}>${why(rows.filter((r) => r.place === code))}</td></tr>` : nothing}`)}</tbody></table>`);
}

/* Places of which much is read, such as sumps: a sheet each. */
const sheet = (rows, code, state) => html`<section class="water-sheet" aria-label=${code}><h2>${placeName(code)} ${whyButton(code, state)}</h2>
  <dl>${quantitiesOf(rows).map((q) => html`<div><dt>${fieldName(q)}</dt><dd>${value(rows.find((r) => r.quantity === q))}</dd></div>`)}</dl>${state.open === code ? why(rows) : nothing}</section>`;

function placesPart(rows, label, state) {
  const of = Map.groupBy(rows, (r) => r.place);
  const few = rows.filter((r) => of.get(r.place).length <= TABLE_MOST);
  const much = placesOf(rows).filter((code) => of.get(code).length > TABLE_MOST);
  return html`${few.length ? placesTable(few, label, state) : nothing}${repeat(much, (code) => code, (code) => sheet(of.get(code), code, state))}`;
}

async function ask() {
  const [{ rows }, probes] = await Promise.all([api.get('/api/reports/water?explain=1'), loadProbes()]);
  return { rows, probes };
}

/** Mounts Water.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { setTitle }) {
  let screen = null;
  const state = {
    open: null,
    toggle(code) {
      state.open = state.open === code ? null : code;
      screen.draw();
    },
  };
  const view = ({ rows, probes }) => {
    setTitle(t('waters.title'), longDay(farmDay()));
    if (!rows.length && !probes.length) return html`<div class="notice"><h2>${t('waters.none')}</h2><p>${t('waters.none_what')}</p><a class="button" href="/farm/water-tests/new">${t('waters.add')}</a></div>`;
    const isTank = (row) => place(row.place)?.kind === 'tanks';
    return html`<div class="desk">${tools(t('waters.what'), html`<a class="button tool" href="/water/dosing">${t('dosing.title')}</a>`, csvLink('/api/reports/water.csv'), html`<a class="button tool" href="/farm/water-tests">${t('tanks.all_of', { what: t('kind.water-tests.many') })}</a>`, printButton())}
      <div class="water-places"><div>${placesPart(rows.filter(isTank), kindName('tanks'), state)}</div><div>${placesPart(rows.filter((r) => !isTank(r)), kindName('places'), state)}${probesPart(probes)}</div></div></div>`;
  };
  screen = runScreen(el, { ask, view });
  return screen;
}
