/* Alarms: what lasts, the gravest first; who has seen it and what was done; and the air left in each tank. */
import * as api from '../api.js';
import { alarmMark, alarmText, askAlarms } from '../alarms.js';
import { html, nothing, press, repeat } from '../dom.js';
import { addTo } from '../enter.js';
import { age, asText, bigMass, number, reading } from '../format.js';
import { fieldName, ownWords, t } from '../i18n.js';
import { codeClass, footing } from '../marks.js';
import { askPerson } from '../people.js';
import { csvLink, part, runScreen, tableFrame, tools } from '../screen.js';
import { find, list } from '../setup.js';
import { tablet } from '../tablet.js';
import WORDS from '../words/alarms.js';

const w = ownWords(WORDS);

const value = (row, name, bound) => asText(reading(row.quantity, row[name], bound));

/* What raised it, against what, and what the water says now. */
function detail(row) {
  const said = [w('since', { at: age(row.raised_at) })];
  if (row.value !== null) said.push(w('raised', { value: value(row, 'value') }));
  if (row.limit_value !== null) said.push(w(row.stop ? 'stop' : 'limit', { value: value(row, 'limit_value') }));
  if (row.value_now !== null && row.at_now !== null) said.push(w('now', { value: value(row, 'value_now', row.bound_now), age: age(row.at_now) }));
  return said.join(' · ');
}

const minutes = (row) => Math.floor(row.air_left_min);
const airLine = (row) => (row.air_left_min === null ? nothing : html`<p class="alarm-air">${w('air', { n: minutes(row), shown: number(minutes(row)) })}</p>`);

function whyBlock(row) {
  if (!row.explain) return nothing;
  return html`<details class="alarm-why"><summary>${t('alarms.why')}</summary><dl class="why-facts"><dt>${t('why.formula')}</dt><dd>${row.explain.formula}</dd><dt>${t('field.source')}</dt><dd>${row.explain.source}</dd></dl></details>`;
}

function seenForm(row, state, see) {
  return html`<form class="alarm-seen" @submit=${see(row)}><label class="field"><span>${w('done')}</span><textarea name="action" rows="2" maxlength="2000"></textarea></label>
    <button class="main">${t('act.save')}</button> <button type="button" class="quiet" @click=${press(() => state.open(null))}>${t('act.back')}</button></form>`;
}

function seenLine(row, state, see) {
  if (row.seen_by || row.action) {
    return html`<p>${row.seen_by ? t('alarms.seen_by', { name: row.seen_by }) : nothing}${row.action ? html`${row.seen_by ? ': ' : ''}<b>${row.action}</b>` : nothing}</p>`;
  }
  if (state.seeing === row.alarm_key) return seenForm(row, state, see);
  return html`<p class="seen"><button @click=${press(() => state.open(row.alarm_key))} aria-label=${w('seen_title', { place: row.place ?? '', what: alarmText(row) })}>${w('see')}</button> ${row.place ? html`<a class="button" href="/at/${encodeURIComponent(row.place)}">${t('round.open')}</a>` : nothing} <span class="soft">${t('alarms.nobody')}</span></p>`;
}

const alarmItem = (row, state, see) => html`<li class="alarm">
  <p class="alarm-place">${row.place ? html`<a class=${codeClass(row.place)} href="/at/${encodeURIComponent(row.place)}">${row.place}</a>` : footing('unknown')}</p>
  <div class="grow"><p class="alarm-what">${alarmMark(row)}</p><p>${detail(row)}</p>${airLine(row)}${seenLine(row, state, see)}${whyBlock(row)}</div></li>`;

const airMinutes = (row) => (row.air_left_min === null ? html`${footing('unknown')}${w('unknown')}` : html`${footing(row.is_old ? 'unknown' : 'estimated')}${w('minutes', { n: number(minutes(row)) })}`);
const airRow = (row) => html`<tr><th scope="row"><a class=${codeClass(row.tank)} href="/at/${encodeURIComponent(row.tank)}">${row.tank}</a></th>
  <td data-label=${fieldName('air_left_min')}><b class="num">${airMinutes(row)}</b></td>
  <td data-label=${fieldName('do_mg_l')}>${asText(reading('do_mg_l', row.do_mg_l))}${row.do_at ? html`<small class="under">${age(row.do_at)}</small>` : nothing}</td>
  <td data-label=${fieldName('stop_mg_l')}>${asText(reading('do_mg_l', row.stop_mg_l))}${row.usual_stop ? html`<small class="under">${w('usual')}</small>` : nothing}</td>
  <td data-label=${fieldName('biomass_g')}>${asText(bigMass(row.biomass_g))}</td>
  <td data-label=${fieldName('uptake_mg_kg_h')}>${number(row.uptake_mg_kg_h)}<span class="unit">mg/kg/h</span>${row.usual_uptake ? html`<small class="under">${w('usual')}</small>` : nothing}</td></tr>`;
const AIR = ['air_left_min', 'do_mg_l', 'stop_mg_l', 'biomass_g', 'uptake_mg_kg_h'];
const airTable = (rows) => part(w('air_title'), csvLink('/api/reports/air.csv'), html`<p class="soft">${w('air_what')}</p>
  ${tableFrame(w('air_title'), html`<table class="figures stacking"><thead><tr><th scope="col">${fieldName('tank')}</th>${AIR.map((name) => html`<th scope="col">${fieldName(name)}</th>`)}</tr></thead><tbody>${rows.map(airRow)}</tbody></table>`)}`);

/** Mounts Alarms: what lasts, with the form that marks one seen, and the air left in each tank.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { setTitle }) {
  let screen = null;
  const state = {
    seeing: null,
    open(key) {
      state.seeing = key;
      screen.draw();
      el.querySelector('.alarm-seen textarea')?.focus();
    },
  };
  const see = (row) => async (event) => {
    event.preventDefault();
    const action = event.target.elements.action.value.trim();
    if (!find('staff', tablet().staff_id) && list('staff').length) await askPerson();
    const fields = { ...(tablet().staff_id ? { seen_by_id: tablet().staff_id } : {}), ...(action ? { action } : {}) };
    state.seeing = null;
    if (Object.keys(fields).length) await addTo('alarms', row.alarm_key, fields);
    await screen.update();
  };
  const view = ({ rows, air }) => {
    setTitle(t('alarms.title'), '');
    return html`<div class="desk alarms">${tools(w('holds'), csvLink('/api/reports/alarms.csv'), html`<a class="button tool" href="/farm/alarms">${w('past')}</a>`)}
      ${rows.length ? html`<ul class="alarm-list">${repeat(rows, (r) => r.alarm_key, (r) => alarmItem(r, state, see))}</ul>` : html`<div class="notice"><h2>${w('none')}</h2><p>${w('none_what')}</p></div>`}
      ${air.length ? airTable(air) : nothing}</div>`;
  };
  screen = runScreen(el, {
    ask: async () => {
      const [{ rows }, { rows: air }] = await Promise.all([api.get('/api/reports/alarms?explain=1'), api.get('/api/reports/air')]);
      await askAlarms();
      return { rows, air };
    },
    view,
  });
  return screen;
}
