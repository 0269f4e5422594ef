/*
 * Codes for labels, made on the tablet so that they need no network: YYMMDD, the tablet's letter, a running number
 * of that day, and a check character by ISO/IEC 7064 MOD 37,36.
 */
import { passKnown, post } from './api.js';
import { setTablet, tablet } from './tablet.js';

const SIGNS = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ';
const NAME = 'weirbook.codes';
const MOST_DAYS = 400; // an entry of an older day is asked about anyway

/** The check character over the letters and digits of a text; hyphens are passed over. */
export function checkCharacter(text) {
  let product = 36;
  for (const sign of text.toUpperCase().replaceAll('-', '')) {
    const value = SIGNS.indexOf(sign);
    if (value < 0) return '';
    product = (((product + value) % 36 || 36) * 2) % 37;
  }
  return SIGNS[(37 - product) % 36];
}

/** True when the last character is the check character of the others. */
export function checkHolds(code) {
  const text = code.replaceAll('-', '');
  return text.length > 1 && checkCharacter(text.slice(0, -1)) === text.slice(-1).toUpperCase();
}

function keptNumbers() {
  try {
    const kept = JSON.parse(localStorage.getItem(NAME) ?? '{}');
    return kept.day ? { [kept.day]: kept.n } : kept; // as an older build kept it: the last day alone
  } catch {
    return {}; // a damaged store: the day's numbers begin again, and a code that is taken is refused by the service
  }
}

/* A late entry makes a code of its own day: each day has its number, so that none comes twice. */
function nextNumber(day) {
  const kept = keptNumbers();
  const n = (kept[day] ?? 0) + 1;
  const days = Object.entries({ ...kept, [day]: n }).sort(([a], [b]) => (a < b ? 1 : -1)).slice(0, MOST_DAYS);
  try {
    localStorage.setItem(NAME, JSON.stringify(Object.fromEntries(days)));
  } catch {
    // a full or forbidden store: as above
  }
  return n;
}

/** A code of its own for something made on this farm day ("2026-11-25"); '' while the tablet has no letter. */
export function newCode(day) {
  const { letter } = tablet();
  if (!letter) return '';
  const text = `${day.slice(2).replaceAll('-', '')}${letter}${String(nextNumber(day)).padStart(2, '0')}`;
  return text + checkCharacter(text);
}

/** Does a row of this kind go by a code that is made here?  Lots and what is harvested, packed, ordered and shipped; places and products are named by people. */
export const isCoded = (kind) => kind.class !== 'set_up' && kind.fields.some((f) => f.name === 'code' && !f.server_set);

/** Asks for the tablet's letter where it has none yet; without an answer the next start asks again. */
export async function takeLetter() {
  if (tablet().letter) return;
  try {
    const { letter } = await post('/api/tablets', {});
    setTablet({ letter });
  } catch (fault) {
    passKnown(fault);
  }
}
