/*
 * From a press to the record, on screen: logs through the outbox, puts the service's question with its numbers,
 * shows what needs mending, and offers to undo.
 */
import { html, nothing, press } from './dom.js';
import { t } from './i18n.js';
import { askPerson } from './people.js';
import { complete, KEPT, log, RECORDED, undo } from './outbox.js';
import { errorText } from './problems.js';
import { find, kindOf, list } from './setup.js';
import { openDialog } from './sheet.js';
import { tablet } from './tablet.js';
import { offerUndo } from './undo.js';

let wasAsked = false; // once a visit: who closed the sheet wants to go on

/* An entry is signed by who holds the tablet; looking needs no name. */
async function knowPerson() {
  if (wasAsked || find('staff', tablet().staff_id) || !list('staff').length) return;
  wasAsked = true;
  await askPerson();
}

/** Shows a dialog of two answers of equal size; resolves to true, or false for the second and for Escape. */
export const ask = ({ title, lines, yes, no, level = 'amber' }) => openDialog(title, (close) => html`<div class="head"><h2>${title}</h2></div>
  <div class="body">${lines.map((line) => html`<p class="line ${level}">${line}</p>`)}
  <div class="answers"><button class="main" @click=${press(() => close(true))}>${yes}</button>${no ? html`<button @click=${press(() => close(false))}>${no}</button>` : nothing}</div></div>`, 'ask').then(Boolean);

const isFedAlready = (result) => result.errors.some((item) => item.code === 'slot_fed');

/* The service itself keeps a confirmed feeding of a slot that was fed as an extra. */
async function settleQuestion(result, said) {
  const yes = await ask({
    title: said, lines: result.errors.map(errorText), yes: t(isFedAlready(result) ? 'ask.extra' : 'ask.keep'), no: t('ask.drop'),
  });
  if (!yes) {
    await result.drop();
    return null;
  }
  return result.confirm();
}

async function settleFault(result, said) {
  const leave = await ask({
    title: t('ask.not_taken', { said }), lines: result.errors.map(errorText), yes: t('ask.leave'), no: t('ask.drop'), level: 'red',
  });
  if (!leave) await result.drop();
  return null;
}

/**
 * Logs an entry by the person who holds the tablet.  `said` is the sentence for the undo bar.  Resolves to
 * {state, key} when it is kept or recorded, to null when it was taken back or needs mending.
 */
export async function enter(kind, fields, said) {
  await knowPerson();
  const result = await enterOne(kind, fields, said);
  if (result) offerUndo({ said, state: result.state, take: () => undo(kind, result.key, t('undo.why')) });
  return result;
}

/* Lines of a packing or an order have no time and no person of their own: they go by what they are lines of. */
const isSigned = (kind) => kindOf(kind)?.fields.some((f) => f.name === 'at') ?? true;

let incident = null;
/** While it is set, what is entered is logged under this incident: its key, or null. */
export function enterUnder(key) {
  incident = key;
}

async function enterOne(kind, fields, said, key) {
  const signed = isSigned(kind);
  const by = tablet().staff_id ? { staff_id: tablet().staff_id } : {};
  const full = signed ? { ...by, ...fields, ...(incident ? { incident_id: incident } : {}) } : fields;
  let result = await log(kind, full, { key, timed: signed });
  while (result?.state === 'question') result = await settleQuestion(result, said);
  if (result && result.state !== KEPT && result.state !== RECORDED) result = await settleFault(result, said);
  return result;
}

/**
 * Logs several entries of one act, [{kind, fields, key}]; the undo bar takes all of them back.  Where they hang together
 * (chained) the rest is left out when one is not taken.  Resolves to those kept, [{kind, key, state}].
 */
export async function enterAll(entries, said, { chained = false } = {}) {
  const kept = [];
  await knowPerson();
  for (const { kind, fields, key } of entries) {
    const result = await enterOne(kind, fields, said, key);
    if (result) kept.push({ kind, key: result.key, state: result.state });
    else if (chained) break;
  }
  if (!kept.length) return kept;
  offerUndo({
    said, state: kept.some((k) => k.state === KEPT) ? KEPT : RECORDED,
    take: async () => { for (const { kind, key } of kept) await undo(kind, key, t('undo.why')); },
  });
  return kept;
}

/** Adds to what was just logged what was left open, such as the appetite. */
export const addTo = (kind, key, fields) => complete(kind, key, fields);
/** Takes back what was logged, by Undo in a row or on a sheet.  @param {string} kind @param {string} key of the entry @returns {Promise<void>} */
export const takeBack = (kind, key) => undo(kind, key, t('undo.why'));
