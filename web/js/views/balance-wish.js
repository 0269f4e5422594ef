/*
 * The part of Balance that asks what a fish harvest or a planting would do to the other crop: which, how much, and the answer under it.
 * The question stands in the address, in the service's units.
 */
import * as api from '../api.js';
import { html, nothing } from '../dom.js';
import { forTyping, readNumber, unitSign } from '../format.js';
import { t } from '../i18n.js';
import { askOtherCrop, otherCropTable, otherCropWords, SIZES, WISHES } from '../other-crop.js';
import { keepQuery } from '../router.js';
import { part, picks } from '../screen.js';
import { fromShown, said, toShown } from '../units.js';

/**
 * The question as it is asked now, of one loop at a time.
 * @param {URLSearchParams} query @param {() => void} redraw draws the screen
 * @returns {{view: (loop: string, band: {low: number, high: number}|null) => TemplateResult, begin: () => void}} begin: asks what the address asks
 */
export function mountWish(query, redraw) {
  const wish = { of: WISHES.includes(query.get('wish')) ? query.get('wish') : WISHES[0], loop: query.get('loop'), text: '', answer: null, fault: '' };
  const given = Number(query.get('size'));
  if (given > 0) wish.text = forTyping(toShown(SIZES[wish.of], given));

  async function answerTo(size) {
    try {
      wish.answer = await askOtherCrop(wish.loop, wish.of, size);
    } catch (fault) {
      api.passKnown(fault);
      wish.fault = fault instanceof api.AwayError ? t('calc.away') : fault.message;
    }
  }
  async function ask(loop) {
    const size = fromShown(SIZES[wish.of], readNumber(wish.text.trim()));
    Object.assign(wish, { loop, answer: null, fault: size > 0 ? '' : t('other_crop.size_needed') });
    if (!wish.fault) {
      keepQuery({ wish: wish.of, loop, size });
      await answerTo(size);
    }
    redraw();
  }
  function choose(of) {
    Object.assign(wish, { of, answer: null });
    redraw();
  }

  const sizeForm = (loop) => html`<form class="wish" @submit=${(e) => { e.preventDefault(); ask(loop); }}><label class="field inline"><span>${t(`other_crop.size.${wish.of}`, { unit: unitSign(said(SIZES[wish.of]).unit) })}</span>
    <input inputmode="decimal" autocomplete="off" size="6" .value=${wish.text} @input=${(e) => { wish.text = e.target.value; }}></label> <button class="tool">${t('other_crop.ask')}</button></form>`;
  const outcome = (band) => html`${wish.fault ? html`<p class="field-error">${wish.fault}</p>` : nothing}
    ${wish.answer ? html`<p role="status">${otherCropWords(wish.answer, band)}</p>${otherCropTable(wish.answer)}` : nothing}`;
  return {
    view: (loop, band) => part(t('other_crop.title'), nothing, html`<p class="soft">${t('other_crop.what')}</p>
      <div class="question">${picks(t('other_crop.wish'), WISHES, (of) => wish.of === of, (of) => t(`other_crop.wishes.${of}`), choose)}${sizeForm(loop)}</div>
      ${wish.loop === loop ? outcome(band) : nothing}`),
    begin: () => { if (wish.text && wish.loop) ask(wish.loop); },
  };
}
