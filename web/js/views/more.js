/* More: the screens that have no place of their own in the way between screens, and what comes later. */
import { html, press, render } from '../dom.js';
import { t } from '../i18n.js';
import { openKeys } from '../keys-sheet.js';

const HERE = [['/manual', 'manual'], ['/alarms', 'alarms'], ['/balance', 'balance'], ['/water', 'waters'], ['/farm', 'farm'], ['/farm/import', 'importing'], ['/climate', 'climate'], ['/calc', 'calc'], ['/labels', 'labels'], ['/paper', 'paper'], ['/s', 'codes'], ['/trouble', 'trouble'], ['/board', 'board']];
const LATER = ['sales', 'plan'];

/** Mounts More.  @param {HTMLElement} el @returns {Mounted} */
export function mount(el) {
  render(html`<div class="desk more"><ul class="more-list">${HERE.map(([path, name]) => html`<li><a href=${path}><b>${t(`more.${name}`)}</b><small>${t(`more.${name}_what`)}</small></a></li>`)}
    ${LATER.map((name) => html`<li><a href="/${name}"><b>${t(`more.${name}`)}</b><small>${t(`more.${name}_what`)} ${t('more.later')}</small></a></li>`)}</ul>
    <p class="section more-keys"><button class="tool" @click=${press(openKeys)}><kbd>?</kbd> ${t('more.keys')}</button></p></div>`, el);
  return {};
}
