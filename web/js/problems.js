/* What the service's problems say, in the reader's language, with their figures in the farm's units. */
import { asText, clock, farmDay, fullDay, mass, number, now, shortDay } from './format.js';
import { fieldName, has, kindOne, t } from './i18n.js';

const isNumber = (text) => text !== '' && !Number.isNaN(Number(text));
const instant = (text) => (farmDay(text) === farmDay(now()) ? clock(text) : `${shortDay(farmDay(text))}, ${clock(text)}`);

/* An argument as it is read: grams as a mass, instants and days as the farm writes them. */
function shown(name, text) {
  if (name.endsWith('_g') && isNumber(text)) return asText(mass(Number(text)));
  if (/^\d{4}-\d\d-\d\dT/.test(text)) return instant(text);
  if (/^\d{4}-\d\d-\d\d$/.test(text)) return fullDay(text);
  if (name === 'kind' && has(`kind.${text}.one`)) return kindOne(text);
  if (isNumber(text)) return number(Number(text), (text.split('.')[1] ?? '').length);
  return text;
}

/** One item of a problem, {field, code, message, args}, as a sentence; a code without words gives the service's own. */
export function errorText(item) {
  const near = `error.${item.code}_nearest`;
  const key = item.args?.nearest && has(near) ? near : `error.${item.code}`;
  if (!has(key)) return item.message ?? item.code;
  const args = Object.fromEntries(Object.entries(item.args ?? {}).map(([name, text]) => [name, shown(name, String(text))]));
  return t(key, { ...args, field: item.field ? fieldName(item.field) : '' });
}
