/* Air and light: each zone's days, the air against its band, the light of sun and lamps against what its crops want. */
import * as api from '../api.js';
import { cautionsAt } from '../cautions.js';
import { html, nothing } from '../dom.js';
import { DASH, longDay, farmDay, number, quantityToShown, shortDay, isUs } from '../format.js';
import { t } from '../i18n.js';
import { footing } from '../marks.js';
import { notesView } from '../notes.js';
import { csvLink, part, printButton, runScreen, tableFrame, tools } from '../screen.js';
import { place } from '../setup.js';
import { stateMark } from '../water.js';

const degrees = (c) => (c === null ? DASH : number(quantityToShown('temperature_c', c), 1));
const range = (low, high, decimals) => (low === null || high === null ? DASH : t('tanks.range', { low: number(low, decimals), high: number(high, decimals) }));
const estimated = (text) => (text === DASH ? html`${footing('unknown')}` : html`${footing('estimated')}${text}`);

const dayRow = (r) => html`<tr><th scope="row" class="num">${shortDay(r.day)}</th>
  <td class="num">${r.temperature_c === null ? footing('unknown') : html`${degrees(r.temperature_low_c)} – ${degrees(r.temperature_high_c)}`} ${r.state === 'unknown' ? nothing : stateMark(r.state)}</td>
  <td class="num">${number(r.humidity_pct)}</td><td class="num">${number(r.deficit_kpa, 2)}</td><td class="num">${degrees(r.dew_point_c)}</td><td class="num">${number(r.day_length_h, 1)}</td>
  <td class="num">${estimated(range(r.sun_low_mol_m2, r.sun_high_mol_m2, 0))}</td><td class="num">${number(r.lamp_mol_m2, 1)}</td><td class="num">${number(r.target_mol_m2, 0)}</td>
  <td class="num">${estimated(range(r.lamp_hours_low, r.lamp_hours_high, 1))}</td></tr>`;

function zonePart(code, rows) {
  const name = place(code)?.row.name;
  const title = name ? `${code} · ${name}` : code;
  return part(title, html`<a class="button tool" href="/farm/climate-notes/new?zone_id=${place(code)?.row.id ?? ''}">${t('climate.add')}</a>`, tableFrame(title, html`<table class="figures"><thead><tr><th scope="col">${t('field.day')}</th>
    <th scope="col">${t('field.temperature_c')} <span class="unit">${isUs() ? '°F' : '°C'}</span></th><th scope="col">${t('field.humidity_pct')} <span class="unit">%</span></th><th scope="col">${t('field.deficit_kpa')} <span class="unit">kPa</span></th>
    <th scope="col">${t('field.dew_point_c')} <span class="unit">${isUs() ? '°F' : '°C'}</span></th><th scope="col">${t('field.day_length_h')} <span class="unit">h</span></th><th scope="col">${t('climate.sun')} <span class="unit">mol/m²</span></th>
    <th scope="col">${t('field.lamp_mol_m2')} <span class="unit">mol/m²</span></th><th scope="col">${t('field.target_mol_m2')} <span class="unit">mol/m²</span></th><th scope="col">${t('climate.lamp_hours')} <span class="unit">h</span></th></tr></thead>
    <tbody>${rows.map(dayRow)}</tbody></table>`));
}

/** Mounts Air and light.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { setTitle }) {
  const view = (data) => {
    setTitle(t('climate.title'), longDay(farmDay()));
    const zones = [...new Set(data.rows.map((r) => r.zone))];
    if (!zones.length) return html`<div class="notice"><h2>${t('climate.none')}</h2><p>${t('climate.none_what')}</p><a class="button" href="/farm/zones/new">${t('climate.add_zone')}</a></div>`;
    return html`<div class="desk">${tools(t('climate.what'), csvLink('/api/reports/climate.csv'), printButton())}${notesView(data.notes)}${cautionsAt('zones')}${zones.map((code) => zonePart(code, data.rows.filter((r) => r.zone === code)))}</div>`;
  };
  return runScreen(el, { ask: () => api.get('/api/reports/climate'), view });
}
