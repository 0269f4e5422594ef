/* What a report says beside its rows, in the reader's language: once a code, naming all that it is said of. */
import { html } from './dom.js';
import { has, t } from './i18n.js';
import { mark } from './marks.js';

/* How the future counts, and what a sum leaves out, are said quietly; what the book and the farm disagree on is marked. */
const QUIET = new Set(['due_out', 'weight_unknown']);

/* Notes [{code, of?, message}] as [{code, text}]: those of one code together.  A code without words gives the service's own. */
function noteTexts(notes) {
  const codes = [...new Set(notes.map((n) => n.code))];
  return codes.map((code) => {
    const same = notes.filter((n) => n.code === code);
    const of = [...new Set(same.map((n) => n.of).filter(Boolean))];
    return { code, text: has(`noted.${code}`) ? t(`noted.${code}`, { n: Math.max(1, of.length), of: of.join(', ') }) : same[0].message };
  });
}

/** The notes of a report, over its table. */
export const notesView = (notes) => html`${noteTexts(notes).map(({ code, text }) => html`<p class="said-days" data-note=${code}>${QUIET.has(code) ? text : mark('amber', '△', text)}</p>`)}`;
