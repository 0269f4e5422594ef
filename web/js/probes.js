/* Probes as the screens show them: which there are, and the newest reading of each with its state against its limits. */
import * as api from './api.js';
import { html, nothing } from './dom.js';
import { age, now, number, quantityDecimals, quantityToShown, reading } from './format.js';
import { fieldName, kindName, t } from './i18n.js';
import { footing, mark, measure } from './marks.js';
import { csvLink, part, tableFrame } from './screen.js';
import { stateMark, stateOf } from './water.js';

const NEWEST_POINTS = 100;
/* The page of a probe's readings.  @param {string} code @returns {string} */
const probeAddress = (code) => `/water/${encodeURIComponent(code)}`;
/** A probe's own limits; those it lacks are left out. */
export const limitsOf = (probe) => Object.fromEntries(['low', 'high'].filter((name) => probe[name] !== undefined).map((name) => [name, probe[name]]));

/** The probes that stand, of one place or all, each as {probe, place, newest}. */
export async function loadProbes(placeCode) {
  const probes = (await api.getAll('/api/probes')).filter((p) => !p.retired_on);
  const rows = await Promise.all(probes.map(async (probe) => {
    const { newest, place } = await api.get(`/api/readings?probe_id=${probe.id}&points=${NEWEST_POINTS}`);
    return { probe, newest, place };
  }));
  return rows.filter((r) => !placeCode || r.place === placeCode);
}

/* Whether a probe has been quiet for longer than the farm lets it. */
const isSilent = (probe, newest) => Boolean(probe.silent_after_min && newest && now() - Date.parse(newest.at) > probe.silent_after_min * 60e3);
const silentMark = (probe, newest) => (isSilent(probe, newest) ? mark('amber', '–', t('choice.level.silent')) : nothing);

function limitWords(probe) {
  const shown = (name) => number(quantityToShown(probe.quantity, probe[name]), quantityDecimals(probe.quantity));
  if (probe.low === undefined && probe.high === undefined) return '';
  if (probe.high === undefined) return t('water.from', { value: shown('low') });
  return probe.low === undefined ? t('water.to', { value: shown('high') }) : t('tanks.range', { low: shown('low'), high: shown('high') });
}

/** The table of probes, each leading to its chart; nothing where there is none. */
export function probesPart(rows) {
  if (!rows.length) return nothing;
  return part(kindName('probes'), csvLink('/api/probes.csv'), tableFrame(kindName('probes'), html`<table class="figures narrow stack-phone probes"><tbody>${rows.map(({ probe, newest, place }) => html`<tr><th scope="row"><a href=${probeAddress(probe.code)}>${probe.code}</a></th>
    <td class="left" data-label=${t('probes.where')}>${place}</td><td class="left" data-label=${fieldName('quantity')}>${fieldName(probe.quantity)}</td>
    <td data-label=${t('probes.newest')}>${newest ? html`${footing('measured')}${measure(reading(probe.quantity, newest.value))} ${stateMark(stateOf(newest.value, limitsOf(probe)))} ${silentMark(probe, newest)}<small class="under">${age(newest.at)}</small>` : html`${footing('unknown')}<small class="under">${t('at.never_measured')}</small>`}<small class="under">${limitWords(probe)}</small></td></tr>`)}</tbody></table>`));
}
