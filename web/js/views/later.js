/* A screen that a later part of Weirbook brings: says so, and what it will do. */
import { html, render } from '../dom.js';
import { t } from '../i18n.js';

/** The view of a page to come; name is its key under more. */
export const laterView = (name) => ({
  mount(el, { setTitle }) {
    setTitle(t(`more.${name}`));
    render(html`<div class="notice"><p>${t('more.comes_later', { what: t(`more.${name}_what`) })}</p><a class="button" href="/more">${t('more.title')}</a></div>`, el);
    return {};
  },
});
