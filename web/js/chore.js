/* Answers a chore in the way that it asks for: done, a number with its limits, one of some choices, or text. */
import { html, press } from './dom.js';
import { enter } from './enter.js';
import { plain, unitSign } from './format.js';
import { t } from './i18n.js';
import { openPad } from './forms/pad.js';
import { mark } from './marks.js';
import { openSheet } from './sheet.js';

const unitOf = (chore) => unitSign(chore.answer_unit);
/** An answer as it is read, with its unit. */
export const answerText = (answer, chore) => [answer, unitOf(chore)].filter(Boolean).join('\u00a0');

const log = (chore, answer) => enter('chores-done', { chore_id: chore.id, ...(answer === undefined ? {} : { answer }) },
  t('chore.said', { title: chore.title, answer: answer === undefined ? '' : `: ${answerText(answer, chore)}` }));

function outOf(chore, value) {
  if (chore.low !== undefined && value < chore.low) return mark('amber', '▼', t('water.state.low'));
  return chore.high !== undefined && value > chore.high ? mark('amber', '▲', t('water.state.high')) : '';
}

function askNumber({ chore, last }) {
  const before = Number(last?.answer);
  return openPad({
    title: chore.title,
    fields: [{
      name: 'answer', label: t('field.answer'), unit: unitOf(chore), sign: true, check: (v) => outOf(chore, v),
      last: last?.answer && !Number.isNaN(before) ? { value: before, text: answerText(plain(before), chore) } : undefined,
    }],
    saveLabel: (values) => ('answer' in values ? t('chore.done_with', { answer: answerText(plain(values.answer), chore) }) : t('round.done_button')),
    save: ({ answer }) => log(chore, String(answer)),
  });
}

const wordKeys = (words, take) => html`<div class="choices">${words.map((w) => html`<button @click=${press(() => take(w))}>${w}</button>`)}</div>`;
const wordField = (take) => html`<form @submit=${(e) => { e.preventDefault(); take(e.target.answer.value.trim()); }}><label class="field"><span>${t('field.answer')}</span><input name="answer" required autocomplete="off"></label>
  <button class="main">${t('act.save')}</button></form>`;

async function askWords({ chore }) {
  const words = chore.answer === 'choice' ? (chore.choices ?? '').split(';').map((w) => w.trim()).filter(Boolean) : [];
  const answer = await openSheet(chore.title, (close) => (words.length ? wordKeys(words, close) : wordField(close)), { word: 'act.cancel' });
  return answer ? log(chore, answer) : null;
}

/** Asks for the answer and logs it.  stop: {chore, last}. */
export function answerChore(stop) {
  if (stop.chore.answer === 'number') return askNumber(stop);
  if (stop.chore.answer === 'choice' || stop.chore.answer === 'text') return askWords(stop);
  return log(stop.chore);
}
