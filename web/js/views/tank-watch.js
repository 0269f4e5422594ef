/*
 * What a tank's page says of its fish beyond growth and feed: how their sizes spread and whether to grade, what became of
 * each lot, and signs of unease against the tank's own past.  Each figure with its footing, and why on tap.
 */
import * as spread from '../charts/spread.js';
import { html, nothing, press, svg } from '../dom.js';
import { asText, fullDay, mass, number } from '../format.js';
import { fieldName, t } from '../i18n.js';
import { footing, mark, measure } from '../marks.js';
import { labelOf } from '../refs.js';
import { csvLink, part, pictureWidth, tableFrame } from '../screen.js';
import { isRaised, isToGrade, raisedSentence } from '../watch.js';
import { whyFacts } from '../why.js';

const figure = (kind, value) => html`<span class="num">${footing(kind)}${value}</span>`;
const unknown = () => figure('unknown', nothing);

function whyCell(key, of, state, set) {
  const opened = state.watched === key;
  return html`<td class="left no-print"><button class="tool" aria-expanded=${String(opened)} @click=${press(() => set({ watched: opened ? null : key }))}>${t(opened ? 'why.close' : 'why.open')}<span class="unseen"> ${of}</span></button></td>`;
}
const whyRow = (key, row, sentence, columns, state) => (state.watched === key ? html`<tr class="why-row"><td colspan=${columns}><div class="why"><p>${sentence}</p>${whyFacts(row.explain)}</div></td></tr>` : nothing);
const whyHead = () => html`<th scope="col" class="left no-print"><span class="unseen">${t('why.open')}</span></th>`;

/** What should be known at the first look: signs that are raised, and fish that should be graded. */
export const firstLook = (watch) => html`${watch.unease.filter(isRaised).map((row) => html`<p class="said-days raised">${mark('amber', '△', raisedSentence(row))}</p>`)}${watch.sizes.filter(isToGrade).map((row) => html`<p class="said-days raised">${mark('amber', '△', gradeSentence(row))}</p>`)}`;

/*
 * Sizes.
 */
const gradeSentence = (row) => t('watch.grade_now', { lot: row.fish_lot, pct: number(row.cv_pct) });
const isOneMass = (row) => row.cv_from === 'assumed';
function gradeMark(row) {
  if (isToGrade(row)) return mark('amber', '△', t('watch.grade'));
  return row.grade === 'even' ? mark('ok', '●', t('watch.even')) : html`<span class="soft">${t('watch.grade_unknown')}</span>`;
}
const sizesSentence = (row) => `${t('watch.sizes_why', { n: row.sample_fish, shown: number(row.sample_fish), day: fullDay(row.weighed_on), mean: asText(mass(row.mean_weight_g)), pct: number(row.error_pct, 1) })} ${t(`watch.from.${row.cv_from}`)}`;

function sizesRow(row, state, set) {
  const key = `sizes ${row.fish_lot}`;
  return html`<tr class=${state.watched === key ? 'opened' : ''}><th scope="row">${row.fish_lot}<small class="under">${fullDay(row.weighed_on)}</small></th>
    <td data-label=${t('tanks.fish_weighed')}>${figure('measured', number(row.sample_fish))}<small class="under">${t('watch.of', { all: number(row.fish) })}</small></td>
    <td data-label=${t('at.each')}>${figure('measured', measure(mass(row.mean_weight_g)))}<small class="under">± ${number(row.error_pct, 1)} %</small></td>
    <td data-label=${t('watch.spread')}>${isOneMass(row) ? unknown() : figure('measured', html`<b>${number(row.cv_pct)}</b><span class="unit">%</span>`)}${isOneMass(row) ? html`<small class="under">${t('watch.assumed', { pct: number(row.cv_pct) })}</small>` : nothing}</td>
    <td data-label=${t('watch.more')}>${row.more_fish ? figure('estimated', number(row.more_fish)) : html`<span class="soft">${t('watch.enough')}</span>`}</td>
    <td class="left" data-label=${t('watch.grading')}>${gradeMark(row)}</td>${whyCell(key, `${t('watch.sizes')} ${row.fish_lot}`, state, set)}</tr>${whyRow(key, row, sizesSentence(row), 7, state)}`;
}

function spreadPicture(row, data) {
  const entry = data.weighings.filter((w) => w.day === row.weighed_on && labelOf('fish-lots', w.fish_lot_id) === row.fish_lot).at(-1);
  const marks = entry && spread.toSeries(entry);
  return marks ? html`<p class="soft">${t(marks.nets.length ? 'watch.nets_drawn' : 'watch.fish_drawn', { lot: row.fish_lot, day: fullDay(row.weighed_on) })}</p>${spread.draw(marks, row, pictureWidth(), t('watch.spread_label', { lot: row.fish_lot, day: fullDay(row.weighed_on) }))}` : nothing;
}

/** The spread of sizes of each lot here: picture, table, and whether to grade.  @param {string} code of the tank @param {object} data of the page @param {object} state of the page @param {Function} set changes it @returns {object} */
export function sizesPart(code, data, state, set) {
  const rows = data.watch.sizes;
  if (!rows.length) return part(t('watch.sizes'), nothing, html`<p class="soft">${t('watch.not_weighed')}</p>`);
  return part(t('watch.sizes'), csvLink(`/api/reports/sizes.csv?only=${encodeURIComponent(code)}`), html`<p class="soft">${t('watch.sizes_what')}</p>${rows.map((row) => spreadPicture(row, data))}
    ${tableFrame(t('watch.sizes'), html`<table class="figures stacking watch"><thead><tr><th scope="col">${t('watch.lot_weighed')}</th><th scope="col">${t('tanks.fish_weighed')}</th><th scope="col">${t('at.each')}</th><th scope="col">${t('watch.spread')}</th><th scope="col">${t('watch.more')}</th><th scope="col" class="left">${t('watch.grading')}</th>${whyHead()}</tr></thead>
      <tbody>${rows.map((row) => sizesRow(row, state, set))}</tbody></table>`)}`);

}

/*
 * Unease.
 */
const BAR = 120;
const levelBar = (level) => svg`<svg width=${BAR * 1.15} height="20" aria-hidden="true" class="density-bar"><rect class="track" x="0" y="8" width=${BAR} height="4"></rect><rect class="fill" x="0" y="5" width=${BAR * Math.min(1.12, level)} height="10"></rect><line class="limit" x1=${BAR} x2=${BAR} y1="0" y2="20"></line></svg>`;
const rate = (row, value) => (value === null ? nothing : measure({ text: number(value, 2), unit: t(`watch.unit.${row.sign}`) }));
const notKnown = (row) => t(row.sign === 'oxygen_sag' && row.recent === null ? 'watch.no_probe' : 'watch.short_past');

function signRow(row, state, set) {
  const key = `sign ${row.sign}`;
  const known = row.state !== 'unknown';
  const raised = isRaised(row);
  const name = t(`watch.sign.${row.sign}`);
  return html`<tr class=${state.watched === key ? 'opened' : ''}><th scope="row">${name}</th>
    <td data-label=${t('watch.recent')}>${row.recent === null ? unknown() : figure('measured', rate(row, row.recent))}</td>
    <td data-label=${t('watch.usual')}>${row.usual === null ? unknown() : figure('estimated', rate(row, row.usual))}</td>
    <td class="left broad" data-label=${t('watch.level')}>${known ? html`<span class="density ${raised ? 'amber' : ''}">${levelBar(row.level)}<span class="num">${number(100 * row.level)}<span class="unit">%</span></span></span>` : unknown()}</td>
    <td class="left broad" data-label=${t('watch.state')}>${raised ? mark('amber', '△', t('watch.since', { day: fullDay(row.began_on) })) : known ? mark('ok', '●', t('watch.quiet')) : html`<span class="soft">${notKnown(row)}</span>`}</td>
    ${whyCell(key, name, state, set)}</tr>${whyRow(key, row, known ? t(`watch.why.${row.sign}`) : notKnown(row), 6, state)}`;
}

/** Signs of unease against the tank's own past; nothing where no fish stand.  @param {string} code @param {object} data @param {object} state @param {Function} set @returns {object} */
export function uneasePart(code, data, state, set) {
  const rows = data.watch.unease;
  if (!rows.length) return nothing; // no fish, no past
  return part(t('watch.unease'), csvLink(`/api/reports/unease.csv?only=${encodeURIComponent(code)}`), html`<p class="soft">${t('watch.unease_what')}</p>
    ${tableFrame(t('watch.unease'), html`<table class="figures stacking watch"><thead><tr><th scope="col">${fieldName('sign')}</th><th scope="col">${t('watch.recent')}</th><th scope="col">${t('watch.usual')}</th><th scope="col" class="left broad">${t('watch.level')}</th><th scope="col" class="left broad">${t('watch.state')}</th>${whyHead()}</tr></thead>
      <tbody>${rows.map((row) => signRow(row, state, set))}</tbody></table>`)}`);
}

/*
 * Survival.
 */
const ALWAYS = ['arrived', 'dead'];
const WAYS = ['arrived', 'joined', 'left', 'harvested', 'sold', 'dead', 'culled', 'escaped'];

function unexplained(n) {
  if (!n) return html`<span class="num">0</span>`;
  return mark('amber', n < 0 ? '▼' : '▲', `${n > 0 ? '+' : '−'}${number(Math.abs(n))}`);
}
function survivalSentence(row) {
  const came = row.arrived + row.joined;
  const said = [t('watch.survival_why', { n: came, came: number(came), lost: number(row.dead + row.culled) })];
  if (row.unexplained_fish < 0) said.push(t('watch.survival_low', { n: -row.unexplained_fish, shown: number(-row.unexplained_fish) }));
  if (row.unexplained_fish > 0) said.push(t('watch.survival_more', { n: row.unexplained_fish, shown: number(row.unexplained_fish) }));
  return said.join(' ');
}
/* What is unexplained may have died: then survival lies between two figures, and is estimated. */
function survivalCell(row) {
  if (row.survival_pct === null) return html`${unknown()}<small class="under">${t('watch.survival_unknown')}</small>`;
  return html`${figure(row.unexplained_fish ? 'estimated' : 'measured', html`<b>${number(row.survival_pct, 1)}</b><span class="unit">%</span>`)}${row.unexplained_fish < 0 ? html`<small class="under">${t('watch.not_under', { low: number(row.survival_low_pct, 1) })}</small>` : nothing}`;
}
function survivalRow(row, ways, state, set) {
  const key = `survival ${row.fish_lot}`;
  return html`<tr class=${state.watched === key ? 'opened' : ''}><th scope="row">${row.fish_lot}<small class="under">${row.species}</small></th>
    <td data-label=${fieldName('survival_pct')}>${survivalCell(row)}</td><td data-label=${t('watch.unexplained')}>${unexplained(row.unexplained_fish)}</td>
    ${ways.map((way) => html`<td data-label=${fieldName(way)}>${number(row[way])}</td>`)}<td data-label=${fieldName('alive')}>${number(row.alive)}</td>${whyCell(key, `${t('watch.survival')} ${row.fish_lot}`, state, set)}</tr>${whyRow(key, row, survivalSentence(row), ways.length + 5, state)}`;
}

/** What became of the lots that stand here, with the unexplained beside.  @param {object} data @param {object} facts of the tank @param {object} state @param {Function} set @returns {object} */
export function survivalPart(data, facts, state, set) {
  const present = (facts.stock?.lots ?? []).map((l) => l.fish_lot);
  const rows = data.watch.survival.filter((row) => present.includes(row.fish_lot));
  if (!rows.length) return nothing;
  const ways = WAYS.filter((way) => ALWAYS.includes(way) || rows.some((row) => row[way]));
  return part(t('watch.survival'), csvLink('/api/reports/survival.csv'), html`<p class="soft">${t('watch.survival_what')}</p>
    ${tableFrame(t('watch.survival'), html`<table class="figures stacking watch"><thead><tr><th scope="col">${t('field.fish_lot')}</th><th scope="col">${fieldName('survival_pct')}</th><th scope="col">${t('watch.unexplained')}</th>${ways.map((way) => html`<th scope="col">${fieldName(way)}</th>`)}<th scope="col">${fieldName('alive')}</th>${whyHead()}</tr></thead>
      <tbody>${rows.map((row) => survivalRow(row, ways, state, set))}</tbody></table>`)}`);
}
