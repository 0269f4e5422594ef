/*
 * Who holds this tablet, as tiles; and the tablet's own choices: theme, hand, language.  Signing in comes with
 * a later part of the service: until then the person is what entries are signed with.
 */
import { html, nothing, press, render, repeat } from './dom.js';
import { choiceWord, languages, t } from './i18n.js';
import { list } from './setup.js';
import { HANDS, setTablet, tablet, THEMES } from './tablet.js';

let opened = null; // 'people' | 'tablet'
let draw = () => {};
let toldOnClose = []; // who waits for the sheet to close

/** Opens the sheet of who is here. */
export function openPeople() {
  opened = 'people';
  draw();
}
/** Asks who is here; resolves when the sheet is closed, with a person chosen or without. */
export const askPerson = () => new Promise((resolve) => {
  toldOnClose.push(resolve);
  openPeople();
});
/** Opens the sheet of the tablet's own choices. */
export function openTablet() {
  opened = 'tablet';
  draw();
}

function close() {
  opened = null;
  draw();
  const told = toldOnClose;
  toldOnClose = [];
  for (const tell of told) tell();
}

function choose(person) {
  setTablet({ staff_id: person.id });
  close();
}

const tiles = () => html`
  <div class="tiles">${repeat(list('staff'), (person) => person.id, (person) => html`
    <button aria-pressed=${person.id === tablet().staff_id} class=${person.id === tablet().staff_id ? 'main' : ''}
      @click=${press(() => choose(person))}>${person.name}<span class="under">${choiceWord('role', person.role)}</span></button>`)}
  </div>
  ${list('staff').length ? nothing : html`<p>${t('people.none')}</p>`}`;

const choice = (legend, name, words, label) => html`
  <fieldset><legend>${legend}</legend><div class="choices">${words.map((word) => html`
    <button aria-pressed=${tablet()[name] === word} @click=${press(() => setTablet({ [name]: word }))}>${label(word)}</button>`)}</div></fieldset>`;

const settings = () => html`
  ${choice(t('tablet.theme'), 'theme', THEMES, (w) => t(`tablet.themes.${w}`))}
  ${choice(t('tablet.hand'), 'hand', HANDS, (w) => t(`tablet.hands.${w}`))}
  ${choice(t('tablet.language'), 'language', ['auto', ...languages], (w) => t(`tablet.languages.${w}`))}
  <p class="soft">${t('tablet.letter', { letter: tablet().letter ?? '–' })}</p>`;

/** Mounts the two sheets, closed. */
export function mountPeople(el) {
  draw = () => {
    render(html`<dialog class="sheet" aria-labelledby="people-title" @close=${close}>
      <div class="head"><h2 id="people-title">${opened === 'tablet' ? t('tablet.title') : t('people.title')}</h2>
        <button class="quiet" @click=${press(close)}>${t('act.close')}</button></div>
      <div class="body">${opened === 'people' ? tiles() : nothing}${opened === 'tablet' ? settings() : nothing}</div></dialog>`, el);
    const dialog = el.querySelector('dialog');
    if (opened && !dialog.open) dialog.showModal();
    if (!opened && dialog.open) dialog.close();
  };
  draw();
  return { update: draw };
}
