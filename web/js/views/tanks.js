/* Tanks: one row a tank in walking order, for the manager's morning. */
import { html, nothing, repeat } from '../dom.js';
import { clock, longDay, mass, number } from '../format.js';
import { fieldName, t } from '../i18n.js';
import { biomass, conversion, densityBar, meanWeight } from '../figures.js';
import * as spark from '../charts/spark.js';
import { loadGrowth, marketCell } from '../growth.js';
import { codeClass, footing, mark, measure } from '../marks.js';
import { notesView } from '../notes.js';
import { closingLine, loadClosed, restatedLines } from '../restated.js';
import { csvLink, printButton, runScreen, tableFrame, tools } from '../screen.js';
import { walk } from '../setup.js';
import { DAYS_DIED, loadTankReports, tankFacts } from '../tank-rows.js';
import { isRaised, isToGrade, loadWatch, raisedShort } from '../watch.js';

const tankLink = (code) => `/tanks/${encodeURIComponent(code)}`;

function died(facts) {
  const { died: row } = facts;
  const dead = row?.dead_fish ?? 0;
  const gap = row?.unexplained_fish ?? 0;
  return html`<span class="num">${number(dead)}</span>${gap ? html` ${mark('amber', gap < 0 ? '▼' : '▲', t('tanks.unexplained', { n: Math.abs(gap), shown: `${gap > 0 ? '+' : '−'}${number(Math.abs(gap))}` }))}` : nothing}`;
}

/* Signs of unease stand at the figure that they are about. */
const raisedMarks = (facts, ...signs) => facts.raised.filter((row) => signs.includes(row.sign)).map((row) => html`<span class="under raised">${mark('amber', '△', raisedShort(row))}</span>`);

const emptyCells = (facts) => html`<td class="stretch" colspan="9"><span class="soft">${t('tanks.empty_tank')}</span>${facts.fed_7_g ? mark('amber', '△', t('tanks.fed_empty')) : nothing}</td>`;

function growthCell(row, day, named) {
  const { main, under } = marketCell(row, day);
  return html`<span class="grown-lot">${spark.draw(row, day)}<span>${named ? html`<small>${row.fish_lot}</small> ` : nothing}${main ? html`<b>${main}</b>` : footing('unknown')}${under ? html`<small class="under">${under}</small>` : nothing}</span></span>`;
}

const cells = (f) => html`
  <td data-label=${t('field.fish')}><span class="num">${number(f.stock.fish)}</span></td>
  <td data-label=${t('at.each')}>${meanWeight(f.stock)}${f.toGrade.map((row) => html`<span class="under">${mark('amber', '△', f.stock.lots.length > 1 ? t('watch.grade_lot', { lot: row.fish_lot }) : t('watch.grade'))}</span>`)}</td>
  <td class="left broad grown" data-label=${t('growth.head')}>${f.growth.map((row) => growthCell(row, f.day, f.growth.length > 1))}</td>
  <td data-label=${fieldName('biomass_g')}>${biomass(f.stock)}</td>
  <td class="left broad" data-label=${t('tanks.density')}>${densityBar(f.stock.density_kg_m3, f.limit)}</td>
  <td data-label=${t('tanks.fed')}>${measure(mass(f.fed_today_g))}<small class="under">${t('tanks.in_7', { amount: `${mass(f.fed_7_g).text} ${mass(f.fed_7_g).unit}` })}</small>${raisedMarks(f, 'appetite', 'oxygen_sag')}</td>
  <td data-label=${t('tanks.since_weighings')}>${conversion(f.last, f.last ? undefined : t('tanks.why.no_weighings'))}</td>
  <td data-label=${t('tanks.since_stocking')}>${conversion(f.since)}</td>
  <td data-label=${t('tanks.died', { n: DAYS_DIED })}>${died(f)}${raisedMarks(f, 'deaths')}</td>`;

const tankRow = (f) => html`<tr class=${f.over ? 'over' : ''}><th scope="row"><a class=${codeClass(f.row.code)} href=${tankLink(f.row.code)}>${f.row.code}</a>
  <small>${f.stock ? f.stock.lots.map((l) => l.fish_lot).join(', ') : f.row.name ?? ''}<span class="species">${f.stock ? [...new Set(f.stock.lots.map((l) => l.species))].join(', ') : ''}</span></small></th>
  ${f.stock ? cells(f) : emptyCells(f)}</tr>`;

const heads = () => html`<tr><th scope="col">${t('tanks.tank_lot')}</th><th scope="col">${t('field.fish')}</th><th scope="col">${t('at.each')}</th><th scope="col" class="left broad">${t('growth.head')}</th><th scope="col">${fieldName('biomass_g')}</th>
  <th scope="col" class="left broad">${t('tanks.density')}</th><th scope="col">${t('tanks.fed')}</th><th scope="col">${t('tanks.since_weighings')}</th><th scope="col">${t('tanks.since_stocking')}</th>
  <th scope="col">${t('tanks.died', { n: DAYS_DIED })}</th></tr>`;

const legend = () => html`<p class="legend soft">${['measured', 'estimated', 'unknown'].map((kind) => html`<span>${footing(kind)}${t(`footing.${kind}`)}</span>`)}<span>${t('tanks.conversion_is')}</span></p>`;

const none = () => html`<div class="notice"><h2>${t('tanks.none')}</h2><p>${t('tanks.none_what')}</p><a class="button" href="/farm/tanks/new">${t('tanks.add')}</a></div>`;

async function ask() {
  const [data, closed, growth, watch] = await Promise.all([loadTankReports(), loadClosed(), loadGrowth(), loadWatch()]);
  return { ...data, closed, growth: growth.rows, watch };
}

/* The first day that the book has fish, or null. */
const firstDay = (since) => since.map((r) => r.from).sort()[0] ?? null;

/** Mounts Tanks.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { setTitle }) {
  const view = (data) => {
    setTitle(t('tanks.title'), t('tanks.as_of', { day: longDay(data.day), time: clock(data.as_of) }));
    const rows = walk().filter((p) => p.kind === 'tanks').map((p) => ({ ...tankFacts(p.row, data), day: data.day, growth: data.growth.filter((r) => r.tank === p.row.code), raised: data.watch.unease.filter((r) => r.tank === p.row.code && isRaised(r)), toGrade: data.watch.sizes.filter((r) => r.tank === p.row.code && isToGrade(r)) }));
    if (!rows.length) return none();
    return html`<div class="desk">${tools(t('tanks.what'), csvLink('/api/reports/stock.csv', t('tanks.csv_stock')), csvLink('/api/reports/feed-conversion.csv?by=tank&step=weighing', t('tanks.csv_conversion')), csvLink('/api/reports/growth.csv', t('growth.csv')), printButton())}${notesView(data.notes)}${restatedLines(data.closed)}
      ${tableFrame(t('tanks.title'), html`<table class="figures tanks stacking"><thead>${heads()}</thead><tbody>${repeat(rows, (r) => r.row.code, tankRow)}</tbody></table>`)}${legend()}${closingLine(data.closed, firstDay(data.since))}</div>`;
  };
  return runScreen(el, { ask, view });
}
