/* An address that names no screen. */
import { html, render } from '../dom.js';
import { t } from '../i18n.js';

/** Mounts what stands at an address that names no screen.  @param {HTMLElement} el @returns {Mounted} */
export function mount(el) {
  render(html`<div class="notice"><h2>${t('missing.title')}</h2><p>${t('missing.what')}</p><a class="button" href="/">${t('missing.back')}</a></div>`, el);
  return {};
}
