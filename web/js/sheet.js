/*
 * A sheet over the screen, as a dialog: the keys stay in it, Escape closes it, and the focus goes back to where it was.  What stands
 * on it is its caller's.
 */
import { html, keepFocus, press, render } from './dom.js';
import { t } from './i18n.js';

/**
 * Opens a dialog that draws itself by view(close, redraw).
 * @param {string} label what it is called for who does not see it
 * @param {(close: (value?: any) => void, redraw: () => void) => TemplateResult} view
 * @param {string} className what it is besides a sheet
 * @returns {Promise<any>} what close(value) was given; undefined after Escape
 */
export function openDialog(label, view, className = '') {
  const dialog = document.createElement('dialog');
  dialog.className = `sheet ${className}`;
  dialog.setAttribute('aria-label', label);
  return new Promise((resolve) => {
    let value;
    const close = (given) => {
      value = given;
      dialog.close();
    };
    const draw = () => keepFocus(dialog, () => render(view(close, draw), dialog));
    dialog.addEventListener('close', () => {
      dialog.remove();
      resolve(value);
    });
    document.body.append(dialog);
    draw();
    dialog.showModal();
  });
}

/** The same under its title, with a button that closes it; word is the key of what that says.  @returns {Promise<any>} as openDialog() */
export const openSheet = (title, view, { className, word = 'act.close' } = {}) => openDialog(title, (close, redraw) => html`<div class="head"><h2>${title}</h2>
  <button class="quiet" @click=${press(() => close())}>${t(word)}</button></div><div class="body">${view(close, redraw)}</div>`, className);

/** Tiles of which one is taken; tile(item) is what stands on it, none what is said without any.  @returns {Promise<any>} the item, or undefined */
export const askWhich = (title, items, tile, none) => openSheet(title, (close) => (items.length
  ? html`<div class="tiles">${items.map((item) => html`<button @click=${press(() => close(item))}>${tile(item)}</button>`)}</div>` : html`<p>${none}</p>`), { word: 'act.cancel' });
