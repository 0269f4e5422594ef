/*
 * The dosing desk: for one water, what is in it now, how much of which material brings it where it should be, with its
 * cautions, and the dose in the record with one press.  The service computes (GET /api/calc); this only asks.
 */
import * as api from '../api.js';
import { instant } from '../describe.js';
import { html, nothing, press } from '../dom.js';
import { enter } from '../enter.js';
import { age, asText, forTyping, inUnit, mass, now, number, plain, reading, readNumber, shortDay } from '../format.js';
import { fieldName, t } from '../i18n.js';
import { footing, measure } from '../marks.js';
import { keepQuery } from '../router.js';
import { part, picks, runScreen, tableFrame, tools } from '../screen.js';
import { list } from '../setup.js';
import { stateMark } from '../water.js';

const WAIT_MS = 200;
const PH_BEFORE_MS = 2 * 3600e3; // a pH read longer ago is not that before the dose: common practice, no source
const LAST = 8; // doses that are shown
const PH_MORE = 0.5; // of which the ammonia is foretold
const IN_WATER = ['ph', 'alkalinity_mg_l', 'temperature_c', 'tan_mg_l', 'nh3_n_mg_l', 'nitrite_n_mg_l', 'chloride_mg_l'];
/* What is raised, by what a material is for. */
const RAISED = { alkalinity: 'alkalinity_mg_l', chloride: 'chloride_mg_l', iron: 'iron_mg_l', calcium: 'calcium_mg_l', potassium: 'potassium_mg_l' };
const PURPOSES = Object.keys(RAISED);
const isNutrient = (purpose) => !['alkalinity', 'chloride'].includes(purpose);
/** How the calculators name a formula: Ca(OH)2 is ca_oh_2. */
const calcWord = (formula) => (formula ?? '').toLowerCase().replaceAll(/[^a-z0-9]+/g, '_').replace(/^_|_$/g, '');

/** Mounts the dosing desk; loop and purpose stand in the address.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { query, setTitle }) {
  const state = { loop: query.get('loop'), purpose: PURPOSES.includes(query.get('for')) ? query.get('for') : PURPOSES[0], material: null, typed: {} };
  let answer = null; // {amount_g, sodium_mg_l, nh3, ph} | {errors} | {away}; null: still something missing
  let asked = 0;
  let timer = 0;
  let screen = null;

  async function ask() {
    const [water, base, materials] = await Promise.all([api.get('/api/reports/water'), api.get('/api/reports/base'), api.getAll('/api/materials')]);
    const doses = await Promise.all(list('loops').map((loop) => api.get(`/api/doses?loop_id=${loop.id}&order=-at&limit=${LAST}`)));
    return { water: water.rows, base: base.rows, doses: doses.flatMap((d) => d.items), materials: materials.filter((m) => !m.retired_on) };
  }

  const loopNow = () => list('loops').find((l) => l.code === state.loop) ?? list('loops')[0];
  const materials = (data) => data.materials.filter((m) => m.purpose === state.purpose && (m.formula || isNutrient(state.purpose)));
  const materialNow = (data) => materials(data).find((m) => (state.material ? m.id === state.material : m.name === baseOf(data)?.material)) ?? materials(data)[0];
  /* The newest of a quantity in the water: of its sump and itself, and where these have none of a tank. */
  const newest = (data, quantity) => data.water.filter((r) => r.loop === loopNow()?.code && r.quantity === quantity).sort((a, b) => b.at.localeCompare(a.at))[0];
  const baseOf = (data) => data.base.find((r) => r.loop === loopNow()?.code);

  /* What is asked, by purpose: each [name, unit, what stands there unless something is typed]. */
  const FIELDS = {
    alkalinity: (data) => {
      const now = baseOf(data)?.alkalinity_now_mg_l ?? newest(data, 'alkalinity_mg_l')?.value;
      return [['now', 'mg/L', now], ['to', 'mg/L', baseOf(data)?.level_mg_l]];
    },
    chloride: (data) => [['nitrite', 'mg/L', newest(data, 'nitrite_n_mg_l')?.value], ['chloride', 'mg/L', newest(data, 'chloride_mg_l')?.value], ['ratio', '', undefined]],
  };
  /* Of a material without a formula the purity is what its label says it holds of the element. */
  const nutrientFields = (data) => {
    const material = materialNow(data);
    return [['nutrient_now', 'mg/L', newest(data, RAISED[state.purpose])?.value], ['nutrient_to', 'mg/L', undefined], ['content', '%', material && !material.formula ? material.purity_pct : undefined]];
  };
  const fieldsNow = (data) => (FIELDS[state.purpose] ?? nutrientFields)(data);
  const typedText = (name, usual) => state.typed[name] ?? (usual === undefined || usual === null ? '' : forTyping(Number(usual.toPrecision(3))));

  function calcAddress(data) {
    const [loop, material] = [loopNow(), materialNow(data)];
    if (!loop || !material) return null;
    const given = Object.fromEntries(fieldsNow(data).map(([name, , usual]) => [name, readNumber(typedText(name, usual).trim())]));
    if (Object.values(given).some(Number.isNaN)) return null;
    if (isNutrient(state.purpose)) return `/api/calc/nutrient-dose?${new URLSearchParams({ volume_l: loop.water_volume_l, element_rise_mg_l: Math.max(0, given.nutrient_to - given.nutrient_now), content_pct: given.content })}`;
    const common = { volume_l: loop.water_volume_l, material: calcWord(material.formula), ...(material.purity_pct ? { purity_pct: material.purity_pct } : {}) };
    const own = state.purpose === 'alkalinity' ? { rise_mg_l: Math.max(0, given.to - given.now) } : { nitrite_n_mg_l: given.nitrite, chloride_mg_l: given.chloride, ratio: given.ratio, ratio_basis: 'nitrite_ion' };
    return `/api/calc/${state.purpose}-dose?${new URLSearchParams({ ...common, ...own })}`;
  }
  /* The ammonia that the water would have when the dose has raised its pH. */
  async function ammoniaAfter(data) {
    const [ph, tan, warmth] = ['ph', 'tan_mg_l', 'temperature_c'].map((q) => newest(data, q));
    if (state.purpose !== 'alkalinity' || !ph || !tan || !warmth) return {};
    const after = Math.round((ph.value + PH_MORE) * 10) / 10;
    const { outputs } = await api.getOnce(`/api/calc/unionized-ammonia?${new URLSearchParams({ ph: after, tan_mg_l: tan.value, temperature_c: warmth.value })}`);
    return { ph: after, nh3: outputs.nh3_n_mg_l };
  }
  async function work(data) {
    const address = calcAddress(data);
    asked += 1;
    const mine = asked;
    let got = null;
    try {
      if (address) got = { ...(await api.getOnce(address)).outputs, ...(await ammoniaAfter(data)) };
    } catch (fault) {
      if (fault instanceof api.ProblemError) got = { errors: fault.errors.length ? fault.errors.map((e) => e.message) : [fault.message] };
      else if (fault instanceof api.AwayError) got = { away: true };
      else throw fault;
    }
    if (mine !== asked) return;
    answer = got;
    screen.draw();
  }
  let worked = null;
  const workSoon = (data, wait) => {
    worked = data;
    clearTimeout(timer);
    timer = setTimeout(work, wait, data);
  };
  const change = (data, changes) => {
    Object.assign(state, changes);
    keepQuery({ ...(state.loop ? { loop: state.loop } : {}), ...(state.purpose === PURPOSES[0] ? {} : { for: state.purpose }) });
    answer = null; // never an old amount beside new figures
    asked += 1;
    workSoon(data, WAIT_MS);
    screen.draw();
  };

  const input = (data, [name, unit, usual]) => html`<div class="field"><label for="dose-${name}">${t(`dosing.field.${name}`)}${unit ? html` <span class="unit">${unit}</span>` : nothing}</label>
    <input id="dose-${name}" inputmode="decimal" autocomplete="off" .value=${typedText(name, usual)} @input=${(e) => change(data, { typed: { ...state.typed, [name]: e.target.value } })}></div>`;

  async function logDose() {
    const [loop, material, data] = [loopNow(), materialNow(worked), worked];
    const ph = newest(data, 'ph');
    const amount = Number(answer.amount_g.toPrecision(3));
    await enter('doses', { loop_id: loop.id, material_id: material.id, amount_g: amount, ...(ph && !ph.bound && now() - Date.parse(ph.at) <= PH_BEFORE_MS ? { ph_before: ph.value } : {}) }, t('dosing.said', { amount: asText(mass(amount)), material: material.name, loop: loop.code }));
    await screen.update();
  }

  function result(data) {
    const material = materialNow(data);
    if (answer?.away) return html`<p>${t('calc.away')}</p>`;
    if (answer?.errors) return html`<p class="field-error">${answer.errors.map((e) => html`<span>${e}</span>`)}</p>`;
    if (!answer || answer.amount_g === null) return html`<p class="soft">${t('dosing.still')}</p>`;
    if (answer.amount_g === 0) return html`<p>${t('dosing.nothing')}</p>`;
    return html`<p class="dose-amount">${footing('estimated')}<b>${measure(mass(answer.amount_g))}</b> ${material.name}${material.purity_pct && !isNutrient(state.purpose) ? html` <small>${t('dosing.purity', { value: plain(material.purity_pct) })}</small>` : nothing}</p>
      ${answer.nh3 === undefined || answer.nh3 === null ? nothing : html`<p>${t('dosing.ammonia', { ph: number(answer.ph, 1), nh3: number(answer.nh3, 3) })}</p>`}
      ${answer.sodium_mg_l ? html`<p>${t('dosing.sodium', { value: number(answer.sodium_mg_l, 1) })}</p>` : nothing}
      <button class="main no-print" @click=${press(logDose)}>${t('dosing.log', { amount: asText(mass(Number(answer.amount_g.toPrecision(3)))) })}</button>`;
  }
  const cautions = () => html`<div class="cautions"><h3>${t('dosing.first')}</h3><ul>${['label', ...(state.purpose === 'alkalinity' ? ['hands'] : []), 'parts', ...({ alkalinity: ['ph', 'acid'], chloride: ['sodium'] }[state.purpose] ?? ['nutrient'])].map((name) => html`<li>${t(`dosing.caution.${name}`)}</li>`)}</ul></div>`;

  const inWater = (data) => html`<dl class="water-now">${[...IN_WATER, ...(IN_WATER.includes(RAISED[state.purpose]) ? [] : [RAISED[state.purpose]])].map((q) => newest(data, q)).filter(Boolean).map((r) => html`<div><dt>${fieldName(r.quantity)}</dt><dd>${footing(r.computed ? 'estimated' : 'measured')}${measure(reading(r.quantity, r.value, r.bound))} ${stateMark(r.state)}<small class="under">${r.place} · ${age(r.at)}${r.is_old ? html` · ${t('waters.old')}` : nothing}</small></dd></div>`)}</dl>`;

  function basePlan(data) {
    const base = baseOf(data);
    if (state.purpose !== 'alkalinity' || !base?.due_on) return nothing;
    return html`<p class="soft">${t('balance.base_next', { amount: asText(mass(base.amount_g)), material: base.material ?? t('balance.some_base'), day: shortDay(base.due_on) })} <a class="button tool" href="/balance">${t('more.balance')}</a></p>`;
  }

  const doseRow = (d, materials) => html`<tr><th scope="row"><a href="/farm/doses/${d.id}">${instant(d.at)}</a></th><td class="left" data-label=${fieldName('material_id')}>${materials.find((m) => m.id === d.material_id)?.name}</td><td data-label=${fieldName('amount_g')}>${measure(mass(d.amount_g))}</td><td data-label="pH">${d.ph_before === undefined ? '–' : number(d.ph_before, 1)} → ${d.ph_after === undefined ? '–' : number(d.ph_after, 1)}</td></tr>`;
  function lastDoses(data) {
    const rows = data.doses.filter((d) => d.loop_id === loopNow().id).sort((a, b) => b.at.localeCompare(a.at)).slice(0, LAST);
    if (!rows.length) return nothing;
    const sump = (newest(data, RAISED[state.purpose]) ?? newest(data, 'ph'))?.place;
    return part(t('dosing.last'), sump ? html`<a class="button tool" href="/water/of/${encodeURIComponent(sump)}?of=${RAISED[state.purpose]}">${t('dosing.did')}</a>` : nothing, tableFrame(t('dosing.last'), html`<table class="figures narrow stack-phone"><thead><tr><th scope="col">${t('field.at')}</th><th scope="col" class="left">${fieldName('material_id')}</th><th scope="col">${fieldName('amount_g')}</th><th scope="col">pH</th></tr></thead><tbody>${rows.map((d) => doseRow(d, data.materials))}</tbody></table>`));
  }

  const view = (data) => {
    const loop = loopNow();
    setTitle(t('dosing.title'), loop?.name ?? '');
    const back = tools(html`<a href="/water">← ${t('waters.title')}</a>`, html`<a class="button tool" href="/farm/doses/new">${t('dosing.other')}</a>`);
    if (!loop) return html`<div class="desk">${back}<div class="notice"><p>${t('balance.none')}</p></div></div>`;
    if (worked !== data) workSoon(data, 0);
    return html`<div class="desk dosing">${back}
      <div class="question">${list('loops').length > 1 ? picks(t('field.loop_id'), list('loops'), (l) => l === loop, (l) => l.name ?? l.code, (l) => change(data, { loop: l.code, typed: {} })) : nothing}
        ${picks(t('dosing.for'), PURPOSES, (p) => state.purpose === p, (p) => t(`dosing.purpose.${p}`), (purpose) => change(data, { purpose, material: null, typed: {} }))}</div>
      ${inWater(data)}
      <div class="dose-both"><div>${materials(data).length ? picks(fieldName('material_id'), materials(data), (m) => m === materialNow(data), (m) => m.name, (m) => change(data, { material: m.id })) : html`<p>${t('dosing.no_material')} <a class="button tool" href="/farm/materials/new">${t('dosing.add_material')}</a></p>`}
        <div class="dose-fields">${fieldsNow(data).map((field) => input(data, field))}</div>
        <p class="soft">${t(`dosing.how.${isNutrient(state.purpose) ? 'nutrient' : state.purpose}`, { volume: asText(inUnit('L', loop.water_volume_l)) })}</p>${basePlan(data)}</div>
      <section class="calc-result" aria-label=${t('dosing.title')}><div role="status">${materials(data).length ? result(data) : nothing}</div>${cautions()}</section></div>
      ${lastDoses(data)}</div>`;
  };
  screen = runScreen(el, { ask, view });
  return { ...screen, destroy: () => { clearTimeout(timer); screen.destroy(); } };
}
