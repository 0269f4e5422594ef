/* The small things that numbers are written with: value and unit, footing marks, state marks. */
import { html, nothing } from './dom.js';
import { t } from './i18n.js';

/** A number with its unit in smaller type.  @param {{text: string, unit: string}} value as format.js makes it */
export const measure = ({ text, unit }) => html`<span class="num">${text}${unit ? html`<span class="unit">${unit}</span>` : nothing}</span>`;

/** The class of a code by its length, so that GLASS fits where T1 stands. */
export const codeClass = (code) => `code ${code.length > 5 ? 'longest' : code.length > 3 ? 'long' : ''}`;

/** Ring: counted or weighed; open ring: estimated; dash: unknown.  Read out as a word. */
export function footing(kind) {
  return html`<span class="footing ${kind}" role="img" aria-label=${t(`footing.${kind}`)} title=${t(`footing.${kind}`)}></span>`;
}

/** A state: never colour alone, always a shape and a word.  level: red, amber, ok. */
export function mark(level, shape, text) {
  return html`<span class="mark ${level}"><span aria-hidden="true">${shape}</span> ${text}</span>`;
}
