/* Cautions of entries that can hurt someone or break a law, over their forms and where they are made; as cautions.js. */
import { cautionLine } from './cautions.js';
import { t } from './i18n.js';

const OF_KIND = {
  doses: ['dose'], materials: ['dose'], treatments: ['drugs', 'spray'], holds: ['food'], harvests: ['food'], packings: ['food'], shipments: ['food'],
  species: ['species'], 'fish-lots': ['species'], 'fish-moves': ['species'], 'water-moves': ['discharge'], solids: ['discharge'],
};
/** The cautions of a kind of entry, [] where it has none; over its form and where it is made.  @param {string} kind @returns {TemplateResult[]} */
export const cautionsOf = (kind) => (OF_KIND[kind] ?? []).map((name) => cautionLine(t(`care_of.${name}`)));
