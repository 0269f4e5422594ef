/* What stands on a label: the code as QR and in letters, what it is, the day, the farm. */
import { html, nothing } from './dom.js';
import { shortDay } from './format.js';
import { qrPicture } from './qr.js';
import { farm } from './setup.js';

/** What a code holds: the farm's address on labels with the code, or the code alone. */
export const heldText = (code) => (farm().label_base_url ? `${farm().label_base_url.replace(/\/+$/, '')}/s/${encodeURIComponent(code)}` : code);

/**
 * The face of one label or plate, on the sheet (views/labels.js) and where a packing was made (pack.js).
 * @param {{code: string, line: string, day?: string}} label day: farm day
 */
export const labelFace = ({ code, line, day }) => html`${qrPicture(heldText(code))}
  <span class="label-words"><b class="label-code">${code}</b><span>${line}</span>${day ? html`<span>${shortDay(day)}</span>` : nothing}<span class="label-farm">${farm().name ?? ''}</span></span>`;
