/* "And why": what a conversion rests on, opened in place; in words, then formula, source, figures and the entries. */
import { html, nothing } from './dom.js';
import { asText, bigMass, DASH, mass, number, plain, shortDay, toUnit, unitSign } from './format.js';
import { fieldName, kindName, t } from './i18n.js';
import { noConversion, hasConversion, rangeText } from './figures.js';
import { saidInRecord, unitByName } from './units.js';

const kg = (grams) => asText(Math.abs(grams) < 10000 ? mass(grams) : bigMass(grams));

/* The sentence: fed, gained and from what, the dead apart, and what the range rests on. */
function whySentences(row) {
  const said = [t(row.uneaten_g ? 'why.fed_left' : 'why.fed', { fed: kg(row.feed_g), left: kg(row.uneaten_g) })];
  if (row.gain_g !== null) {
    const part = (grams, key) => (grams ? ` ${t(key, { mass: kg(grams) })}` : '');
    said.push(t('why.gain', { gain: kg(row.gain_g), from: shortDay(row.from), to: shortDay(row.to), end: kg(row.end_biomass_g), start: kg(row.start_biomass_g), removed: part(row.removed_g, 'why.removed'), added: part(row.added_g, 'why.added') }));
  }
  if (hasConversion(row)) {
    said.push(t('why.over', { value: number(row.fcr_economic, 2), range: rangeText(row) }));
    if (row.reason) said.push(t('why.open_end', { reason: noConversion(row) }));
  } else said.push(t('why.none', { reason: noConversion(row) }));
  if (row.dead_fish && row.fcr_biological !== null) said.push(t('why.dead', { n: row.dead_fish, shown: number(row.dead_fish), weight: kg(row.dead_g), value: number(row.fcr_biological, 2) }));
  if (row.unexplained_fish) said.push(t('why.unexplained', { n: Math.abs(row.unexplained_fish), shown: number(Math.abs(row.unexplained_fish)), way: t(row.unexplained_fish < 0 ? 'why.fewer' : 'why.more') }));
  said.push(t(`why.basis.${row.basis ?? 'projected'}`));
  return said.join(' ');
}

/* The list of an address of the service, or its one entry, as a page of ours. */
function listAddress(address) {
  const url = new URL(address, 'http://here');
  return `/farm/${url.pathname.replace(/^\/api\//, '')}${url.search}`;
}

const sumOf = ({ sum, sum_of: name = '_g' }) => (name.endsWith('_g') ? kg(sum) : `${fieldName(name)} ${plain(sum, 2)}`);

function entriesLink(e) {
  const what = kindName(e.kind);
  const words = [e.part ? t(`why.part.${e.part}`, { what }) : what, e.of, e.count === undefined || e.count < 0 ? '' : number(e.count), e.sum === undefined ? '' : sumOf(e)].filter(Boolean).join(' · ');
  return html`<a class="button quiet" href=${listAddress(e.address)}>${words}</a>`;
}

/* A figure as it was reckoned with: a count has no decimals. */
function given(name, value) {
  if (value === null) return DASH;
  if (name.endsWith('_g')) return kg(value);
  const how = saidInRecord({ name, unit: unitByName(name) });
  return asText({ text: plain(toUnit(how, value), 2), unit: unitSign(how.unit) });
}

/** Formula, source, figures and entries of an `explain`. */
export const whyFacts = (explain) => html`<dl class="why-facts"><dt>${t('why.formula')}</dt><dd><code>${explain.formula}</code></dd><dt>${t('field.source')}</dt><dd>${explain.source}</dd>
    <dt>${t('why.figures')}</dt><dd class="why-figures">${Object.entries(explain.inputs).map(([name, value]) => html`<span>${fieldName(name)} <b>${given(name, value)}</b></span>`)}</dd>
    ${explain.entries.length ? html`<dt>${t('why.entries')}</dt><dd class="why-entries">${explain.entries.map(entriesLink)}</dd>` : nothing}</dl>`;

/** row has `explain`, as the report gives it with explain=1. */
export const why = (row) => html`<div class="why"><p>${whySentences(row)}</p>
  ${row.explain ? whyFacts(row.explain) : nothing}</div>`;
