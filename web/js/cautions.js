/*
 * Short cautions at the place of an act that can hurt someone.  They stand there always: no setting turns them off.  They
 * defer to the label, the local code and licensed people.  Those of kinds of entries: cautions-of-kinds.js.
 */
import { html } from './dom.js';
import { t } from './i18n.js';
import { mark } from './marks.js';

const OF_ROLE = {
  degassing: ['gas'], sump: ['gas', 'electric'], swirl_separator: ['gas'], settling: ['gas'], upflow_filter: ['gas'], moving_bed: ['gas'], mineralizer: ['gas'],
  uv: ['lamps', 'electric'], heater: ['electric'], blower: ['electric'], pump: ['electric'],
};
const namesAt = (kind, row) => (kind === 'zones' ? ['lamps'] : kind === 'units' ? OF_ROLE[row?.role] ?? [] : []);

/** One caution as a paragraph with its mark.  @param {string} text in the language of the reader */
export const cautionLine = (text) => html`<p class="caution">${mark('amber', '△', text)}</p>`;
/** What to mind at a place: units by what they are, zones for their lamps. */
export const cautionsAt = (kind, row) => namesAt(kind, row).map((name) => cautionLine(t(`care.${name}`)));
