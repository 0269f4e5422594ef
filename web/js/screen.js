/*
 * What the desk's screens share: asking and drawing with its waiting and its faults said, the line of tools over a
 * table, and tables that scroll by themselves.
 */
import * as api from './api.js';
import { html, keepFocus, nothing, press, render } from './dom.js';
import { errorText } from './problems.js';
import { t } from './i18n.js';
import { isLoaded } from './setup.js';

function faultNotice(fault) {
  if (fault instanceof api.ProblemError) {
    return html`<div class="notice bad" role="alert"><p>${fault.errors.length ? fault.errors.map((e) => html`${errorText(e)} `) : fault.message}</p></div>`;
  }
  return html`<p class="notice" role="status">${t('round.no_answer')}</p>`;
}

/**
 * Runs a screen: ask() resolves to its data, view(data) draws it.  Of several answers under way only that of the
 * newest question is drawn; pictured: it is drawn anew when the window has another size.  Returns {update, draw, destroy} for the router.
 */
export function runScreen(el, { ask, view, drawn, pictured = false }) {
  let data = null;
  let fault = null;
  let asked = 0;
  let gone = false;

  function draw() {
    if (gone) return;
    if (fault && (!data || fault instanceof api.ProblemError)) render(faultNotice(fault), el);
    else if (!data || !isLoaded()) render(html`<p class="notice" role="status">${t('round.loading')}</p>`, el);
    else keepFocus(el, () => render(view(data), el));
    drawn?.(data);
  }
  async function update() {
    asked += 1;
    const mine = asked;
    let answer = null;
    let trouble = null;
    try {
      answer = await ask();
    } catch (found) {
      api.passKnown(found);
      trouble = found;
    }
    if (mine !== asked || gone) return;
    fault = trouble;
    data = answer ?? data;
    draw();
  }
  if (pictured) addEventListener('resize', draw);
  draw();
  return {
    update,
    draw,
    destroy() {
      gone = true;
      removeEventListener('resize', draw);
    },
  };
}

/** The line of tools over a table: what it is, then ways out of it. */
export const tools = (said, ...ways) => html`<div class="desk-tools no-print"><span class="grow soft">${said}</span>${ways}</div>`;
/** The way to a CSV.  @param {string} address @param {string} [word] what it says */
export const csvLink = (address, word = t('desk.csv')) => html`<a class="button tool" href=${address} download>${word}</a>`;
/** The button that prints the screen. */
export const printButton = () => html`<button class="tool" @click=${press(() => globalThis.print())}>${t('desk.print')}</button>`;

/** How wide a picture may be on a screen of the desk.  @returns {number} px */
export const pictureWidth = () => Math.max(300, document.getElementById('main').clientWidth - (globalThis.innerWidth <= 480 ? 32 : 48));

/**
 * Keys of which one or several are chosen, under their legend.
 * @param {string} legend @param {any[]} items @param {(item: any) => boolean} isChosen @param {(item: any) => string} word @param {(item: any) => void} take
 * @param {string} className besides picks
 */
export const picks = (legend, items, isChosen, word, take, className = '') => html`<fieldset class="picks ${className}"><legend>${legend}</legend>${items.map((item) => html`
  <button type="button" class="pick" aria-pressed=${String(isChosen(item))} @click=${press(() => take(item))}>${word(item)}</button>`)}</fieldset>`;

/** A table in a frame that scrolls sideways by itself; label names it. */
export const tableFrame = (label, table) => html`<div class="table-frame" role="region" aria-label=${label} tabindex="0">${table}</div>`;

/** A part of a screen under its heading, with its ways out. */
export const part = (title, ways, content) => html`<section class="desk-part"><div class="part-head"><h2>${title}</h2><span class="ways-out no-print">${ways ?? nothing}</span></div>${content}</section>`;
