/*
 * What the reports sizes, survival and unease say of a tank, in words: fish that should be graded, signs of unease and
 * since when.  Tanks and a tank's page ask for it and say it alike.
 */
import * as api from './api.js';
import { shortDay } from './format.js';
import { t } from './i18n.js';

/** Asks for the three reports: {sizes, survival, unease}, rows of all tanks, or with `code` of one tank, each with its explanation. */
export async function loadWatch(code) {
  const asked = code ? `?only=${encodeURIComponent(code)}&explain=1` : '';
  const [sizes, unease, survival] = await Promise.all([
    api.get(`/api/reports/sizes${asked}`), api.get(`/api/reports/unease${asked}`), code ? api.get('/api/reports/survival?explain=1') : { rows: [] },
  ]);
  return { sizes: sizes.rows, unease: unease.rows, survival: survival.rows };
}

/** Is a row of report unease raised?  @param {object} row @returns {boolean} */
export const isRaised = (row) => row.state === 'unease';
/** Does a row of report sizes say to grade?  @param {object} row @returns {boolean} */
export const isToGrade = (row) => row.grade === 'grade';

/** A raised sign in a few words, for a row of tanks. */
export const raisedShort = (row) => t(`watch.raised_short.${row.sign}`, { day: shortDay(row.began_on) });
/** The same in a sentence. */
export const raisedSentence = (row) => t(`watch.raised.${row.sign}`, { day: shortDay(row.began_on) });
