/* Begin a farm: one page of answers from nothing to the first feeding.  The import keeps all of it, or nothing. */
import * as api from '../api.js';
import { check, fieldOf, FRESH, readNumber, toFiles } from '../begin.js';
import { announce, html, nothing, press, render } from '../dom.js';
import { ask } from '../enter.js';
import { farmDay, GRAMS_PER_LB, mass, asText, now } from '../format.js';
import { focusError } from '../forms/record-form.js';
import { HANDBOOK } from '../handbook.js';
import { getLanguage, t } from '../i18n.js';
import { listenKeys } from '../keys.js';
import { errorText } from '../problems.js';
import { go } from '../router.js';
import { list, loadSetup } from '../setup.js';
import { setTablet } from '../tablet.js';

const PATIENCE_MS = 60000;
const DEMO_ASK_MS = 500;
const ZONES = Intl.supportedValuesOf?.('timeZone') ?? [];
const UNITS = { si: { water: 'L', volume: 'L', weight: 'kg', length: 'm' }, us: { water: 'gal', volume: 'gal', weight: 'lb', length: 'ft' } };
const GRAMS = { si: 1000, us: GRAMS_PER_LB };

/** Mounts the page on which a farm begins.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { setTitle, query }) {
  const typed = { ...FRESH, zone: Intl.DateTimeFormat().resolvedOptions().timeZone ?? 'UTC' };
  let errors = [];
  let busy = false;
  let fault = '';
  let demo = ''; // making, failed
  let gone = false;
  const set = (field) => (event) => {
    typed[field] = event.target.value;
    draw();
  };

  async function keep(event) {
    event.preventDefault();
    if (busy) return;
    errors = check(typed);
    fault = '';
    if (!errors.length) await send();
    draw();
    if (errors.length) focusError(el);
  }
  async function send() {
    busy = true;
    draw();
    try {
      const at = `${new Date(now() - 60e3).toISOString().slice(0, 19)}Z`;
      await api.post('/api/import', { files: toFiles(typed, { at, day: farmDay(), language: getLanguage() }), dry_run: false, separator: ',', decimal: '.' }, undefined, PATIENCE_MS);
      await loadSetup();
      setTablet({ staff_id: list('staff').find((p) => p.name === typed.person.trim())?.id ?? null });
      announce(t('begin.kept'));
      go('/', { replace: true });
    } catch (found) {
      if (found instanceof api.AwayError) fault = t('importing.away');
      else if (found instanceof api.ProblemError) {
        errors = (found.problem.errors ?? []).map((e) => ({ ...e, field: fieldOf(e), said: errorText(e) }));
        fault = errors.filter((e) => !e.field).map((e) => e.said).join(' ');
      } else throw found;
    } finally {
      busy = false;
    }
  }

  async function visitDemo() {
    demo = 'making';
    draw();
    try {
      let { port } = await api.post('/api/demo', {});
      for (let left = PATIENCE_MS; !port && left > 0 && !gone; left -= DEMO_ASK_MS) {
        await new Promise((go) => { setTimeout(go, DEMO_ASK_MS); });
        const now = await api.getOnce('/api/demo');
        port = now.port;
        if (!port && !now.making) break;
      }
      if (gone) return;
      if (port) location.assign(`//${location.hostname}:${port}/`);
      else demo = 'failed';
    } catch (found) {
      api.passKnown(found);
      demo = 'failed';
    }
    draw();
  }

  const wrongOf = (field) => errors.filter((e) => e.field === field);
  const said = (e) => e.said ?? t(`error.${e.code}`, { field: t(`begin.${e.field}`) });
  function row(field, control, unit) {
    const wrong = wrongOf(field);
    return html`<div class="field"><label for="b-${field}">${t(`begin.${field}`)}${unit ? html` <span class="soft">${unit}</span>` : nothing}</label>${control}${wrong.length ? html`<p class="field-error" id="b-${field}-error">${wrong.map((e) => html`<span><span aria-hidden="true">▲</span> ${said(e)}</span>`)}</p>` : nothing}</div>`;
  }
  const input = (field, { unit, number = false, options } = {}) => row(field, html`<input id="b-${field}" name=${field} autocomplete="off" inputmode=${number ? 'decimal' : nothing} list=${options ? `b-${field}-list` : nothing} aria-invalid=${wrongOf(field).length ? 'true' : nothing} aria-describedby=${wrongOf(field).length ? `b-${field}-error` : nothing} .value=${typed[field]} @input=${set(field)}>${options ? html`<datalist id="b-${field}-list">${options.map((o) => html`<option value=${o}></option>`)}</datalist>` : nothing}`, unit);
  const select = (field, options) => row(field, html`<select id="b-${field}" name=${field} @change=${set(field)}>${options.map(([value, word]) => html`<option value=${value} ?selected=${value === typed[field]}>${word}</option>`)}</select>`);

  function each() {
    const grams = (readNumber(typed.weight) * GRAMS[typed.units]) / readNumber(typed.fish);
    return Number.isFinite(grams) ? html`<p class="soft">${t('begin.each', { mass: asText(mass(grams)) })}</p>` : nothing;
  }
  const tanks = () => Array.from({ length: Math.min(40, Math.max(1, readNumber(typed.tanks) || 1)) }, (_, i) => [`T${i + 1}`, `T${i + 1}`]);

  function draw() {
    setTitle(t('begin.title'), '');
    const unit = UNITS[typed.units];
    render(html`<div class="desk begin"><form class="section" novalidate @submit=${keep}>
      <p>${t('begin.what')}</p><p><a class="button quiet" href="/farm/import">${t('begin.or_import')}</a>
        <button type="button" class="quiet" ?disabled=${demo === 'making'} @click=${press(visitDemo)}>${t('begin.or_demo')}</button></p>
      ${demo ? html`<p class="notice ${demo === 'failed' ? 'bad' : ''}" role="status">${t(`begin.demo_${demo}`)}</p>` : nothing}
      ${fault ? html`<p class="notice bad" role="alert" tabindex="-1">${fault}</p>` : nothing}
      <fieldset><legend>${t('begin.part_farm')}</legend><div class="begin-fields">${input('farm')}${input('zone', { options: ZONES })}${select('units', [['si', t('begin.units_si')], ['us', t('begin.units_us')]])}${input('person')}</div></fieldset>
      <fieldset><legend>${t('begin.part_water')}</legend><div class="begin-fields">${input('loop')}${input('water', { unit: unit.water, number: true })}${input('tanks', { number: true })}${input('volume', { unit: unit.volume, number: true })}${input('beds', { number: true })}
        ${Number(typed.beds) > 0 ? html`${input('bed_length', { unit: unit.length, number: true })}${input('bed_width', { unit: unit.length, number: true })}${input('raft_length', { unit: unit.length, number: true })}${input('raft_width', { unit: unit.length, number: true })}${input('raft_sites', { number: true })}` : nothing}</div></fieldset>
      <fieldset><legend>${t('begin.part_fish')}</legend><div class="begin-fields">${select('species', [...Object.entries(HANDBOOK).map(([key, { species }]) => [key, t(`begin.fish_${key}`, { name: species.scientific_name })]), ['other', t('begin.fish_other')]])}${typed.species === 'other' ? input('species_name') : nothing}${input('lot')}${select('tank', tanks())}${input('fish', { number: true })}${input('weight', { unit: unit.weight, number: true })}</div>${each()}
        <p class="soft">${t(typed.species === 'other' ? 'begin.other_what' : 'begin.species_what')} ${t('begin.permit')}</p></fieldset>
      <fieldset><legend>${t('begin.part_feed')}</legend><div class="begin-fields">${input('feed')}${input('protein', { unit: '%', number: true })}${input('times')}</div></fieldset>
      <div class="form-acts"><button class="main" ?disabled=${busy}>${t(busy ? 'importing.busy' : 'begin.keep')}</button></div></form></div>`, el);
  }
  draw();
  const isTouched = () => Object.entries(typed).some(([field, text]) => field !== 'zone' && text !== FRESH[field]);
  const stop = listenKeys({ asks: true, leave: async (event) => {
    event.preventDefault(); // the question would close at once by the same key
    if (!isTouched() || await ask({ title: t('form.leave_title'), lines: [t('form.leave_what')], yes: t('form.leave'), no: t('form.back_to_form') })) go('/');
  } });
  if (query.has('demo')) visitDemo();
  return { destroy() {
    gone = true;
    stop();
  } };
}
