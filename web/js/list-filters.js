/* What the address of a list asks beside its days, in words: the filters of a kind, as the service takes them. */
import { instant, valueText } from './describe.js';
import { number } from './format.js';
import { fieldName, t } from './i18n.js';
import { loadReferences } from './refs.js';
import { kindOf } from './setup.js';

const isInstant = (value) => value.includes('T');

/* The field that a filter is about: a field of the kind, or one of what it refers to, as crop_lot_id.variety_id. */
function fieldOf(kind, name) {
  const [own, ...rest] = name.split('.');
  const field = kind?.fields.find((f) => f.name === own);
  return rest.length && field ? fieldOf(kindOf(field.refers_to), rest.join('.')) : field;
}

const typed = (field, text) => (['reference', 'integer', 'real'].includes(field.kind) && text.trim() && !Number.isNaN(Number(text)) ? Number(text) : text);

/** Loads what the filters name, so that filterWords knows it. */
export const loadFiltered = (kind, filters) => loadReferences(Object.keys(filters).filter((name) => name.includes('.')).map((name) => fieldOf(kind, name)).filter((f) => f?.kind === 'reference').map((f) => f.refers_to));

/**
 * One filter in words; null for what is none, and for days, which have fields of their own.
 * @param {object} kind @param {string} name @param {string} value @returns {string|null}
 */
export function filterWords(kind, name, value) {
  if (name === 'from' || name === 'to') return isInstant(value) ? `${fieldName(name)}: ${instant(value)}` : null;
  if (name === 'id') return t('lists.chosen', { n: value.split(',').length, shown: number(value.split(',').length) });
  if (name === 'without') return t('lists.without', { fields: value.split(',').map((f) => fieldName(f)).join(', ') });
  const field = fieldOf(kind, name);
  if (!field) return null;
  const values = field.kind === 'reference' ? value.split(',') : [value];
  return `${fieldName(field.name)}: ${values.map((v) => valueText(field, typed(field, v))).join(', ')}`;
}
