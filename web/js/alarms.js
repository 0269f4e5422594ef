/* What alarms say in a line, for the top rule, At the tank and the screen of alarms: from reports/alarms. */
import * as api from './api.js';
import { html, nothing } from './dom.js';
import { choiceWord, fieldName, t } from './i18n.js';
import { mark } from './marks.js';

const ADDRESS = '/api/reports/alarms';
const SHAPES = { stop_low: '▼', low: '▼', stop_high: '▲', high: '▲', silent: '–', old: '–' };

/** Asks for what lasts; rows as the report ranks them.  What cannot be had now stays as it was. */
export async function askAlarms() {
  try {
    return (await api.get(ADDRESS)).rows;
  } catch (fault) {
    api.passKnown(fault);
    return lastAlarms();
  }
}
/* What lasted when askAlarms() was last answered: rows of reports/alarms, [] before.  @returns {object[]} */
const lastAlarms = () => api.lastAnswer(ADDRESS)?.rows ?? [];

/** "oxygen too low", "The probe P-T2 of oxygen is silent". */
export function alarmText(row) {
  const what = fieldName(row.quantity);
  if (row.level === null) return t('alarms.noted', { what });
  if (row.level === 'silent') return t('alarms.silent', { what: what.toLocaleLowerCase(), probe: row.probe ?? '' });
  if (row.level === 'old') return t('alarms.old', { what });
  return t('alarms.limits', { what, level: choiceWord('level', row.level) });
}

/* Red for stops alone; silence is no limit, so it has a mark without a colour of its own. */
const levelOf = (row) => (row.stop ? 'red' : SHAPES[row.level] === '–' ? '' : 'amber');
/** An alarm as a mark, red at a stop, for every screen that names one.  @param {object} row of reports/alarms */
export const alarmMark = (row) => mark(levelOf(row), SHAPES[row.level] ?? '△', alarmText(row));

/** The way to the alarms, for the top rule; nothing while none lasts. */
export function alarmsLink(rows) {
  if (!rows.length) return nothing;
  const stops = rows.filter((r) => r.stop).length;
  const out = rows.filter((r) => levelOf(r)).length;
  const text = html`${t('alarms.open', { n: rows.length })}${stops ? html`<span class="unseen">, ${t('alarms.stops', { n: stops })}</span>` : nothing}`;
  return html`<a class="alarms-way" href="/alarms">${mark(stops ? 'red' : out ? 'amber' : '', stops ? '■' : '△', text)}</a>`;
}

/** The alarms of one place, each leading to where it can be marked seen. */
export function alarmsHere(code) {
  const rows = lastAlarms().filter((r) => r.place === code);
  return rows.length ? html`<ul class="alarms-here" aria-label=${t('alarms.here')}>${rows.map((r) => html`<li><a class="alarms-way" href="/alarms">${alarmMark(r)} <small>${r.seen_by ? t('alarms.seen_by', { name: r.seen_by }) : t('alarms.nobody')}</small></a></li>`)}</ul>` : nothing;
}

/** Marks of one place for the Round, but for oxygen's limits, which stand beside its value there. */
export const alarmMarks = (code) => lastAlarms().filter((r) => r.place === code && !(r.quantity === 'do_mg_l' && levelOf(r))).map(alarmMark);
