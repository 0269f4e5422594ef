/* At the tank: what swims there, what it gets, and feed, dead, water, look. */
import { html, nothing, press, repeat } from '../dom.js';
import { addTo, enter } from '../enter.js';
import { APPETITES, buttonAmount, canFeedAtOnce, feedOf, feedOther, feedPlanned, setAppetite } from '../feed.js';
import { asText, bigMass, inUnit, isUs, mass, number } from '../format.js';
import { choiceWord, t } from '../i18n.js';
import { openPad } from '../forms/pad.js';
import { footing, mark, measure } from '../marks.js';
import { readingOf } from '../day.js';
import { answerChore } from '../chore.js';
import { clockNow, countFooting, planMark, weightFooting } from '../stops.js';
import { ALL, takeReadings } from '../water.js';
import { bigReading, head, notePanel, panel, wordChoices, wordsOf } from './at-parts.js';

/** The kinds that its list of the day shows, and by which field they name the place. */
export const LOGGED = [['feedings', 'tank_id'], ['fish-deaths', 'tank_id'], ['water-tests', 'place_id'], ['scoutings', 'tank_id']];

/**
 * The stop that at.js draws at the tank.
 * @param {{kind: string, row: object}} found the place @param {object[]} stops of the day @param {object} data as loadDay() gives it @returns {object}
 */
export function stopOf(found, stops) {
  const stop = stops.find((s) => s.sort === 'tank' && s.code === found.row.code);
  return { ...stop, chores: stops.filter((s) => s.sort === 'chore' && s.code === found.row.code) };
}

/*
 * What stands there.
 */
const fact = (name, value, kind) => html`<div class="fact"><dt>${name}</dt><dd>${kind ? footing(kind) : nothing}${value}</dd></div>`;

function stockFacts(stop) {
  const { stock } = stop;
  if (!stock) return html`<p class="soft">${t('round.no_fish')}</p>`;
  return html`<dl class="facts-list">
    ${fact(t('field.fish'), number(stock.fish), countFooting(stock))}
    ${stock.mean_weight_g === null ? fact(t('at.each'), t('round.weight_unknown'), 'unknown') : fact(t('at.each'), measure(mass(stock.mean_weight_g)), weightFooting(stock))}
    ${fact(t('field.biomass_g'), measure(bigMass(stock.biomass_g)), stock.biomass_g === null ? 'unknown' : weightFooting(stock))}
    ${stock.density_kg_m3 === null ? nothing : fact(t('field.density_kg_m3'), measure(inUnit('kg/m3', stock.density_kg_m3, isUs() ? 2 : 0)), weightFooting(stock))}
    ${fact(stock.lots.length > 1 ? t('at.lots') : t('field.lot'), stock.lots.map((l) => l.fish_lot).join(', '))}
    ${stock.unexplained ? fact(t('field.unexplained_fish'), number(stock.unexplained)) : nothing}</dl>`;
}

const slotView = (slot, current) => html`<li class=${slot === current ? 'now' : ''}><span>${slot.due}</span>
  ${slot.fed ? html`<b>${mark('ok', '✓', asText(mass(slot.fed.amount_g)))}</b>` : html`<b>${slot.amount_g === null ? '–' : asText(mass(slot.amount_g))}</b>`}</li>`;
const planView = (stop) => (stop.feeding ? html`<h2 class="at-sub">${t('at.plan')} <small>${feedOf(stop)?.name ?? ''}</small></h2>
  <ol class="slots">${stop.feeding.slots.map((s) => slotView(s, stop.feeding.current))}</ol>` : nothing);

const choresView = (stop, view) => repeat(stop.chores.filter((c) => c.state !== 'done'), (c) => c.id, (c) => html`<div class="at-chore"><span class="grow"><b>${c.chore.title}</b>
  ${c.chore.caution ? html`<br>${mark('amber', '△', c.chore.caution)}` : nothing}</span><button @click=${press(() => view.act(() => answerChore(c)))}>${t('round.done_button')}</button></div>`);

/** What stands at the tank, over the actions.  @param {object} stop of stopOf() @param {{open, act, state}} view of at.js */
export function facts(stop, view) {
  const role = stop.row.role ? choiceWord('role', stop.row.role) : '';
  return html`${head(stop.row, [stop.row.name, role].filter(Boolean).join(' · '), html`<div class="at-water">${bigReading('do_mg_l', stop.oxygen)}${bigReading('temperature_c', stop.temperature)}</div>`)}
    ${stockFacts(stop)}${planView(stop)}${choresView(stop, view)}`;
}

/*
 * What is done there.
 */
const species = (stop) => stop.stock?.lots.map((l) => l.species) ?? [];
const readings = (stop, view, data, quantities = ALL) => view.act(() => takeReadings({
  place: stop.row, quantities, species: species(stop), lastOf: (q) => readingOf(data.water, stop.code, q, clockNow().at),
}));

function afterFeeding(view, result, stop) {
  if (!result) return;
  view.open(null);
  view.state.last = { kind: 'feedings', key: result.key, place: stop.code };
}
const feedOnce = (stop, view) => view.act(async () => afterFeeding(view, await feedPlanned(stop), stop));
const feedPad = (stop, view) => view.act(() => feedOther(stop, (result) => afterFeeding(view, result, stop)));

function feedKeys(stop, view, second) {
  if (!canFeedAtOnce(stop)) {
    const done = stop.feeding?.state === 'done';
    return html`<button class="act-main ${second ? 'second' : ''}" ?disabled=${!feedOf(stop)} @click=${press(() => feedPad(stop, view))}>
      <span>${t(stop.stop ? 'feed.stopped' : done ? 'feed.extra' : 'feed.open')}<span class="under">${stop.stop ? t('feed.stopped_note') : done && stop.feeding.next ? t('round.next_at', { time: stop.feeding.next.due }) : ''}</span></span></button>`;
  }
  return html`<button class="act-main ${second ? 'second' : 'main'}" @click=${press(() => feedOnce(stop, view))}><span>${t('feed.button', { amount: asText(mass(buttonAmount(stop))) })}
    <span class="under">${stop.feeding.current.due} · ${feedOf(stop).name}</span></span></button>`;
}

function actions(stop, view, data) {
  const again = stop.low;
  return html`<p class="act-why">${stop.feeding ? planMark(stop) : nothing}</p><div class="act-grid ${again ? 'again' : ''}">
    ${again ? html`<button class="act-main alarm" @click=${press(() => readings(stop, view, data, ['do_mg_l', 'temperature_c']))}>${t('round.oxygen_again')}</button>` : nothing}
    ${feedKeys(stop, view, again)}
    ${canFeedAtOnce(stop) ? html`<button class="act-other" @click=${press(() => feedPad(stop, view))}>${t('feed.other')}</button>` : nothing}
    <button class="act" @click=${press(() => view.open('dead'))}>${t('act_at.dead')}</button>
    <button class="act" @click=${press(() => readings(stop, view, data))}>${t('act_at.water')}</button>
    <button class="act" @click=${press(() => view.open('look'))}>${t('act_at.look')}</button></div>`;
}

const logDead = (stop, view, fish) => view.act(async () => {
  const result = await enter('fish-deaths', { tank_id: stop.row.id, fish }, t('dead.said', { n: fish, shown: number(fish), place: stop.code }));
  view.open(null);
  if (result) view.state.last = { kind: 'fish-deaths', key: result.key, place: stop.code };
});
const deadPad = (stop, view) => openPad({
  title: t('dead.pad', { place: stop.code }), fields: [{ name: 'fish', label: t('field.fish'), unit: '', whole: true, low: 1, high: 1e8 }],
  saveLabel: ({ fish }) => (fish ? t('dead.button', { n: fish, shown: number(fish) }) : t('act_at.dead')), save: ({ fish }) => logDead(stop, view, fish),
});
const deadPanel = (stop, view) => panel(t('dead.title', { place: stop.code }), view, html`<div class="counts">
  ${[1, 2, 3, 4, 5, 6, 7, 8].map((n) => html`<button @click=${press(() => logDead(stop, view, n))}>${n}</button>`)}
  <button class="more" @click=${press(() => deadPad(stop, view))}>${t('dead.more')}</button></div>`);

const fill = (view, fields) => view.act(async () => {
  const { kind, key } = view.state.last;
  view.state.last = null;
  await addTo(kind, key, fields);
});
function afterPanel(view) {
  const { kind, key } = view.state.last;
  if (kind === 'feedings') {
    return panel(t('feed.appetite'), view, wordChoices('appetite', APPETITES, (appetite) => view.act(async () => {
      view.state.last = null;
      await setAppetite(key, appetite);
    })), { skip: 'act.skip' });
  }
  return panel(t('dead.cause'), view, wordChoices('cause', wordsOf('fish-deaths', 'cause'), (cause) => fill(view, { cause })), { skip: 'act.skip' });
}

/* What is looked for in fish; the rest of the list is of plants. */
const SEEN_IN_FISH = ['disease', 'injury', 'pest'];

function lookPanel(stop, view) {
  const save = (event) => {
    event.preventDefault();
    const form = new FormData(event.target);
    const fields = { tank_id: stop.row.id, what: form.get('what') };
    if (form.get('severity')) fields.severity = Number(form.get('severity'));
    for (const name of ['name', 'note']) if (form.get(name).trim()) fields[name] = form.get(name).trim();
    view.act(async () => {
      await enter('scoutings', fields, t('look.said', { what: choiceWord('what', fields.what), place: stop.code }));
      view.open(null);
    });
  };
  return panel(t('look.title', { place: stop.code }), view, html`<form @submit=${save}>
    <fieldset><legend>${t('field.what')}</legend><div class="radios">${SEEN_IN_FISH.map((w) => html`<label><input type="radio" name="what" value=${w} required><span>${choiceWord('what', w)}</span></label>`)}</div></fieldset>
    <fieldset><legend>${t('look.severity')}</legend><div class="radios narrow">${[0, 1, 2, 3, 4].map((n) => html`<label><input type="radio" name="severity" value=${n}><span>${n}</span></label>`)}</div></fieldset>
    <div class="pair-fields"><label class="field"><span>${t('look.name')}</span><input name="name" autocomplete="off" maxlength="200"></label>
    <label class="field"><span>${t('field.note')}</span><input name="note" autocomplete="off" maxlength="2000"></label></div>
    <div class="choices"><button class="main">${t('act.save')}</button><button type="button" @click=${press(() => view.open('note'))}>${t('note.title')}</button></div></form>`);
}

/**
 * What can be done at the tank, or the panel that is open.  @param {object} stop of stopOf() @param {{open, act, state}} view of at.js @param {object} data as loadDay() gives it
 */
export function acts(stop, view, data) {
  if (view.state.last) return afterPanel(view);
  if (view.state.panel === 'dead') return deadPanel(stop, view);
  if (view.state.panel === 'look') return lookPanel(stop, view);
  if (view.state.panel === 'note') return notePanel(stop.row, view);
  if (view.state.panel === 'water') {
    view.state.panel = null;
    queueMicrotask(() => readings(stop, view, data));
  }
  return actions(stop, view, data);
}
