/*
 * Feeding, as Round and At the tank do it: by one press of the amount that stands on the button, or with another
 * amount by the pad.  What is logged is what was read on the button.
 */
import { addTo, enter } from './enter.js';
import { asText, mass, massAsShown, massFromUnit, massIn, massToUnit, massUnit, massUnits } from './format.js';
import { t } from './i18n.js';
import { openPad } from './forms/pad.js';
import { find, list } from './setup.js';

const feedByName = (name) => list('feeds').find((f) => f.name === name);

/** The feed of a tank's plan, or of its last feeding, or the only one there is. */
export function feedOf(stop) {
  const planned = feedByName(stop.feeding?.current.feed);
  const last = stop.feedings.at(-1);
  return planned ?? (last && find('feeds', last.feed_id)) ?? (list('feeds').length === 1 ? list('feeds')[0] : undefined);
}

/** The amount that the button shows, in grams; null when nothing is planned. */
export const buttonAmount = (stop) => (stop.feeding?.current.amount_g > 0 ? massAsShown(stop.feeding.current.amount_g) : null);

/**
 * Whether one press may feed here: a planned amount, a known feed, nothing that stops it, not fed yet.
 * @param {object} stop of a tank, as day.js makes it @returns {boolean}
 */
export const canFeedAtOnce = (stop) => !stop.stop && buttonAmount(stop) !== null && feedOf(stop) && stop.feeding.state !== 'done';

async function logFeeding(stop, feed, amountG) {
  const slot = stop.feeding && !stop.feeding.current.fed ? stop.feeding.current : null;
  const fields = { tank_id: stop.row.id, feed_id: feed.id, amount_g: amountG };
  if (slot) fields.slot = slot.slot;
  if (slot && slot.amount_g !== null) fields.planned_g = slot.amount_g;
  return enter('feedings', fields, t('feed.said', { amount: asText(mass(amountG)), place: stop.code }));
}

/** One press: feeds the planned amount.  Resolves as enter() does. */
export const feedPlanned = (stop) => logFeeding(stop, feedOf(stop), buttonAmount(stop));

function quickAmounts(stop, feed, unit) {
  const planned = buttonAmount(stop);
  const share = (part, label) => ({ label, under: asText(massIn(planned * part, unit)), value: massToUnit(planned * part, unit), unit });
  const scoops = feed.scoop_g ? [1, 2, 3, 4, 5, 6].map((n) => ({
    label: t('feed.scoops', { n }), under: asText(mass(n * feed.scoop_g)), value: massToUnit(n * feed.scoop_g, unit), unit,
  })) : [];
  return [...(planned ? [share(1, t('feed.planned')), share(0.5, t('feed.half'))] : []), ...scoops];
}

/** Another amount: scoops, a part of the plan, as last time, or typed.  `done` gets what enter() resolves to. */
export async function feedOther(stop, done = () => {}) {
  const feed = feedOf(stop);
  if (!feed) return;
  const last = stop.feedings.filter((f) => f.feed_id === feed.id && f.amount_g > 0).at(-1);
  const unit = massUnit(buttonAmount(stop) ?? last?.amount_g ?? feed.scoop_g ?? 1000);
  const inGrams = (values, units) => Number(massFromUnit(values.amount, units.amount).toPrecision(12));
  await openPad({
    title: t('feed.pad', { place: stop.code, feed: feed.name }),
    fields: [{
      name: 'amount', label: t('field.amount_g'), unit, units: massUnits(), low: 0, high: massToUnit(1e7, unit),
      toUnit: (value, from, to) => massToUnit(massFromUnit(value, from), to),
      last: last && { value: massToUnit(last.amount_g, unit), text: asText(mass(last.amount_g)) },
      quick: quickAmounts(stop, feed, unit),
      note: stop.stop ? t('feed.stopped_note') : undefined,
    }],
    saveLabel: (values, units) => ('amount' in values ? t('feed.button', { amount: asText(mass(inGrams(values, units))) }) : t('feed.button_empty')),
    save: async (values, units) => done(await logFeeding(stop, feed, inGrams(values, units))),
  });
}

/** The words of an appetite, best first; that nothing was eaten is a record too. */
export const APPETITES = ['keen', 'steady', 'slow', 'none'];
/** Adds the appetite to a feeding.  @param {string} key of the feeding @param {string} appetite one of APPETITES @returns {Promise<void>} */
export const setAppetite = (key, appetite) => addTo('feedings', key, { appetite });
