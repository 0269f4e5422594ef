/*
 * The undo bar: for ten seconds after an entry it says what was logged and where it is, and takes it back.
 */
import { announce, html, nothing, press, render } from './dom.js';
import { t } from './i18n.js';

const SHOWN_MS = 10000;
const DEAF_MS = 600; // the bar comes up under a moving finger: its first instant takes no press
let draw = () => {};
let shown = null;
let timer = 0;

function hide() {
  clearTimeout(timer);
  shown = null;
  draw();
}

/** Offers to undo: `said` is the sentence, `state` the outbox's word for where the entry is, take(): takes it back. */
export function offerUndo({ said, state, take }) {
  clearTimeout(timer);
  shown = { said, state, take, at: Date.now() };
  timer = setTimeout(hide, SHOWN_MS);
  draw();
  announce(`${said} ${t(`state.${state}`)}`);
}

/** What takes the last entry back, while its bar is shown; null afterwards.  @returns {(() => Promise<void>)|null} */
export const undoShown = () => (shown ? takeBack : null);

async function takeBack() {
  if (!shown || Date.now() - shown.at < DEAF_MS) return;
  const { take, said } = shown;
  hide();
  await take();
  announce(t('undo.done', { said }));
}

/** Mounts the bar, hidden; main.js calls it once.  @param {HTMLElement} el */
export function mountUndo(el) {
  draw = () => {
    const held = el.contains(document.activeElement);
    el.replaceChildren(); // a new bar, so that its ten seconds start anew
    delete el._$litPart$;
    render(shown ? html`<div class="undo no-print" role="group" aria-label=${t('undo.title')}><span class="left-over"></span>
      <span class="said">${shown.said}<small>${t(`state.${shown.state}`)}</small></span>
      <button @click=${press(takeBack)}>${t('act.undo')}</button></div>` : nothing, el);
    if (held) (el.querySelector('button') ?? document.getElementById('main')).focus({ preventScroll: true }); // who works by keys goes on from the screen
  };
  return {};
}
