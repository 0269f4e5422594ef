/*
 * At the tank, the unit, the bed: one place fills the tablet.  What stands there above, four actions in the lower
 * half, then Next.  Each sort of place has a module with LOGGED, stopOf(), facts(), acts() and its panels; this one
 * keeps the frame.
 */
import { alarmsHere } from '../alarms.js';
import * as api from '../api.js';
import { loadDay, nextPlace, stopsOf } from '../day.js';
import { html, keepFocus, oneAtATime, render } from '../dom.js';
import { t } from '../i18n.js';
import { listenKeys } from '../keys.js';
import { go, keepQuery } from '../router.js';
import { isLoaded, place, loopOf } from '../setup.js';
import { clockNow, setupNow } from '../stops.js';
import { log } from './at-parts.js';
import * as bed from './at-bed.js';
import * as other from './at-other.js';
import * as tank from './at-tank.js';

const SORTS = { tanks: tank, beds: bed };
const at = (code) => `/at/${encodeURIComponent(code)}`;

function nextButton(next) {
  if (!next) return html`<a class="button next" href="/">${t('at.round_done')}</a>`;
  return html`<a class="button next ${next.busy ? 'main-next' : ''}" href=${at(next.code)}>${t('at.next', { code: next.code })}<span aria-hidden="true"> →</span></a>`;
}

/** Mounts the place named in the address; ?do=dead opens a panel.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { params, query, setTitle }) {
  let data = null;
  let fault = null;
  const state = { panel: query.get('do'), last: null }; // last: {kind, key} of what was just logged, for appetite or cause

  const view = { open, act: oneAtATime(() => update()), state };

  function open(panel) {
    state.panel = panel;
    state.last = null;
    keepQuery(panel ? { do: panel } : {});
    draw();
  }

  function draw() {
    const found = isLoaded() ? place(params.code) : null;
    setTitle(t('at.title'), '');
    if (isLoaded() && !found) {
      render(html`<div class="notice"><h2>${t('at.unknown', { code: params.code })}</h2><p>${t('at.unknown_what')}</p><a class="button" href="/">${t('missing.back')}</a></div>`, el);
      return;
    }
    if (!found || !data) {
      render(html`<p class="notice" role="status">${t(fault ? 'round.no_answer' : 'round.loading')}</p>`, el);
      return;
    }
    const sort = SORTS[found.kind] ?? other;
    const stops = stopsOf(data, setupNow(), clockNow());
    const here = sort.stopOf(found, stops, data);
    const loop = loopOf(found.row.id);
    setTitle(t(`at.titles.${found.kind}`), loop && found.kind !== 'loops' ? loop.name ?? loop.code : '');
    const inActs = Boolean(document.activeElement?.closest('.at-acts'));
    keepFocus(el, () => render(html`<div class="at">
      <section class="at-facts" aria-label=${found.row.code} tabindex="0">${alarmsHere(found.row.code)}${sort.facts(here, view, data)}</section>
      <section class="at-today" aria-label=${t('at.today')}>${log(found.row, sort.LOGGED, data, view)}</section>
      <section class="at-acts" aria-label=${t('at.acts')}>${sort.acts(here, view, data)}</section>
      <div class="at-next"><a class="button quiet" href="/">${t('round.title')}</a>${nextButton(nextPlace(stops, found.row.code))}</div></div>`, el), () => (inActs ? firstChoice() : null));
  }

  /* A panel that opened under the keys is answered at once; when it closes the actions stand there again. */
  const firstChoice = () => el.querySelector('.at-acts .panel :is(.choices, .counts, .radios, form) :is(button, input, textarea)') ?? el.querySelector('.at-acts .act-grid button');

  async function update() {
    try {
      data = await loadDay();
      fault = null;
    } catch (trouble) {
      api.passKnown(trouble);
      fault = trouble;
    }
    draw();
  }

  const stop = listenKeys({ leave: () => (state.panel || state.last ? open(null) : go('/')), leaveSaid: 'leave_place' });
  draw();
  return { update, destroy: stop };
}
