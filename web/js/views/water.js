/* Water: every place by quantity, each value with its age and its state against the limits of what lives there. */
import * as api from '../api.js';
import { html, nothing, press } from '../dom.js';
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
const cell = (row, quantity) => (row ? html`<td data-label=${fieldName(quantity)}><span class="num">${footing(row.computed ? 'estimated' : 'measured')}${measure(reading(row.quantity, row.value, row.bound))}</span>${row.state === 'ok' || row.state === 'unknown' ? nothing : html`<span class="under">${stateMark(row.state)}</span>`}<small class="under">${row.computed ? html`${t('waters.computed')} · ` : nothing}${age(row.at)}${row.is_old ? html` · ${t('waters.old')}` : nothing}</small>${limits(row)}</td>` : html`<td class="absent" data-label=${fieldName(quantity)}><span class="soft">–</span></td>`);

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
const whyRow = (rows, span) => html`<tr class="why-row"><td colspan=${span}><div class="why"><dl class="why-facts">${rows.map(whyLine)}</dl></div></td></tr>`;

/* One table for places that are read alike, with the columns that they have: tanks, then all else. */
function placesTable(rows, label, state) {
  const quantities = [...new Set(rows.map((r) => r.quantity))].sort((a, b) => rank(a) - rank(b));
  const order = new Map(walk().map((p, i) => [p.row.code, i]));
  const places = [...new Set(rows.map((r) => r.place))].sort((a, b) => (order.get(a) ?? 999) - (order.get(b) ?? 999));
  return tableFrame(label, html`<table class="figures waters-table stacking"><thead><tr><th scope="col">${label}</th>${quantities.map((q) => html`<th scope="col">${fieldName(q)}</th>`)}</tr></thead>
    <tbody>${places.map((code) => html`<tr><th scope="row"><a class=${codeClass(code)} href="/at/${encodeURIComponent(code)}">${code}</a><small class="under">${place(code)?.row.name ?? ''}</small>
      <button class="quiet why-button no-print" aria-expanded=${state.open === code ? 'true' : 'false'} @click=${press(() => state.toggle(code))}>${t(state.open === code ? 'waters.why_close' : 'alarms.why')}<span class="unseen"> ${code}</span></button></th>${quantities.map((q) => cell(rows.find((r) => r.place === code && r.quantity === q), q))}</tr>${state.open === code ? whyRow(rows.filter((r) => r.place === code), quantities.length + 1) : nothing}`)}</tbody></table>`);
}

async function ask() {
  const [{ rows }, probes] = await Promise.all([api.get('/api/reports/water?explain=1'), loadProbes()]);
  return { rows, probes };
}

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
    const groups = [[kindName('tanks'), rows.filter(isTank)], [kindName('places'), rows.filter((r) => !isTank(r))]].filter(([, of]) => of.length);
    return html`<div class="desk">${tools(t('waters.what'), csvLink('/api/reports/water.csv'), html`<a class="button tool" href="/farm/water-tests">${t('tanks.all_of', { what: t('kind.water-tests.many') })}</a>`, printButton())}
      ${groups.map(([label, of]) => placesTable(of, label, state))}${probesPart(probes)}</div>`;
  };
  screen = runScreen(el, { ask, view });
  return screen;
}
