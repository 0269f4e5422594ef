/* The list of keys that ? opens: those that work where it was opened, and no others. */
import { html, repeat } from './dom.js';
import { loadRest, t } from './i18n.js';
import { keysNow } from './keys.js';
import { openSheet } from './sheet.js';

const ALWAYS = [[['Tab', 'Shift+Tab'], 'tab'], [['Enter'], 'enter']];
const LAST = [[['?'], 'list']];
const SHEET = [...ALWAYS, [['Esc'], 'close']];

/* A pad of whole numbers takes no decimals, and few take a sign: the keys on the glass say which. */
function padRows(pad) {
  const there = [...pad.querySelectorAll('.pad-keys .key, .pad-quick button')].map((key) => key.textContent.trim()[0]);
  const signs = [...(there.some((sign) => '.,'.includes(sign)) ? ['.', ','] : []), ...(there.includes('±') ? ['-'] : [])];
  return [[['0–9', ...signs], 'digits'], [['Backspace'], 'back'], [['Enter'], 'pad_enter'], [['Tab', 'Shift+Tab'], 'tab'], [['Esc'], 'close']];
}

/* [[keys, what they do: a word under keys in the catalogue], ...] of the pad, of another sheet, or of the screen. */
function rowsNow() {
  const dialog = document.querySelector('dialog[open]');
  if (dialog) return [...(dialog.classList.contains('pad') ? padRows(dialog) : SHEET), ...LAST];
  const { search, leave, undo, more } = keysNow();
  return [...ALWAYS, ...more, ...(undo ? [[['Ctrl+Z'], undo]] : []), ...(leave ? [[['Esc'], leave]] : []), ...(search ? [[['/'], search]] : []), ...LAST];
}

const rowView = ([keys, said]) => html`<div><dt>${keys.map((key) => html`<kbd>${key}</kbd> `)}</dt><dd>${t(`keys.${said}`)}</dd></div>`;

/** Opens the list. */
export async function openKeys() {
  await loadRest();
  const rows = rowsNow();
  await openSheet(t('keys.title'), () => html`<dl class="keys-list">${repeat(rows, ([keys, said]) => keys.join() + said, rowView)}</dl>`, { className: 'keys' });
}
