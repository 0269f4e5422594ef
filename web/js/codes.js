/*
 * Codes for labels, made on the tablet so that they need no network: YYMMDD, the tablet's letter, a running number
 * of that day, and a check character by ISO/IEC 7064 MOD 37,36.
 */
import { tablet } from './tablet.js';

const SIGNS = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ';
const NAME = 'weirbook.codes';

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

function nextNumber(day) {
  let kept = {};
  try {
    kept = JSON.parse(localStorage.getItem(NAME) ?? '{}');
  } catch {
    // a damaged store: the day's numbers begin again, and a code that is taken is refused by the service
  }
  const n = kept.day === day ? kept.n + 1 : 1;
  try {
    localStorage.setItem(NAME, JSON.stringify({ day, n }));
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
