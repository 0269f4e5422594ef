/* Round: the walk. */
import { html, render } from '../dom.js';
import { farmDay, longDay } from '../format.js';
import { t } from '../i18n.js';

export function mount(el, { setTitle }) {
  function update() {
    setTitle(t('round.title'), longDay(farmDay()));
    render(html`<p class="notice">${t('round.empty')}</p>`, el);
  }
  return { update };
}
