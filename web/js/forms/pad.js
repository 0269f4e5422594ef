/*
 * The number pad: own keys, 72 px and more, for wet hands; the keyboard works too.  It types one value, or
 * several one after another.  What it hands back are numbers as shown; units and sense are the caller's.
 */
import { html, nothing, press, render } from '../dom.js';
import { decimalSign, forTyping, plain, readNumber } from '../format.js';
import { t } from '../i18n.js';

const MOST_DIGITS = 9;

function faultOf(field, text) {
  if (text === '') return '';
  const value = readNumber(text);
  if (Number.isNaN(value)) return t('pad.not_a_number');
  if (field.whole && !Number.isInteger(value)) return t('pad.not_whole');
  if (value < (field.low ?? -Infinity) || value > (field.high ?? Infinity)) {
    return t('pad.out_of_range', { low: plain(field.low), high: plain(field.high) });
  }
  return '';
}

/**
 * Opens the pad.  fields: [{name, label, unit, low, high, whole, sign, last: {value, text}, note, quick: [{label, under, value}],
 * units: [u, v] with toUnit(value, from, to), value, check(value) -> mark or nothing}].  save(values, units) gets {name: number} of
 * what was typed; saveLabel(values, units) is what the button says.  Resolves when closed.
 */
export function openPad({ title, fields, save, saveLabel, start = 0 }) {
  const texts = fields.map((f) => (f.value === undefined ? '' : forTyping(f.value)));
  const units = fields.map((f) => f.unit);
  let at = start;
  let fresh = true; // the first key replaces what stands there
  const dialog = document.createElement('dialog');
  dialog.className = 'sheet pad';
  dialog.setAttribute('aria-label', title);

  const valuesNow = () => Object.fromEntries(fields.map((f, i) => [f.name, readNumber(texts[i])]).filter(([, v]) => !Number.isNaN(v)));
  const unitsNow = () => Object.fromEntries(fields.map((f, i) => [f.name, units[i]]));
  const faults = () => fields.map((f, i) => faultOf(f, texts[i]));
  const canSave = () => Object.keys(valuesNow()).length > 0 && faults().every((f) => !f);

  function type(key) {
    let text = fresh && key !== '±' ? '' : texts[at];
    fresh = false;
    if (key === '⌫') text = texts[at].slice(0, -1);
    else if (key === '±') text = text.startsWith('-') ? text.slice(1) : `-${text}`;
    else if (key === decimalSign()) text = /[.,]/.test(text) ? text : `${text || '0'}${key}`;
    else if (text.replace(/\D/g, '').length < MOST_DIGITS) text = text === '0' ? key : text + key;
    texts[at] = text;
    draw();
  }
  function setText(value) {
    texts[at] = forTyping(value);
    fresh = true;
    draw();
  }
  function move(i) {
    at = Math.max(0, Math.min(fields.length - 1, i));
    fresh = true;
    draw();
    dialog.querySelector('.pad-fields [aria-current]')?.scrollIntoView({ block: 'nearest' });
  }
  function setUnit(unit) {
    const value = readNumber(texts[at]);
    const from = units[at];
    units[at] = unit;
    if (!Number.isNaN(value) && unit !== from) texts[at] = forTyping(Number(fields[at].toUnit(value, from, unit).toPrecision(5)));
    draw();
  }
  async function keep() {
    if (!canSave()) return;
    dialog.close();
    await save(valuesNow(), unitsNow());
  }

  function onKey(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const key = { '.': decimalSign(), ',': decimalSign(), Backspace: '⌫', '-': '±' }[event.key] ?? event.key;
    if (/^\d$/.test(key) || ['⌫', decimalSign()].includes(key) || (key === '±' && fields[at].sign)) {
      event.preventDefault();
      type(key);
    } else if (key === 'Enter' && event.target === dialog) {
      event.preventDefault();
      if (at < fields.length - 1) move(at + 1);
      else keep();
    }
  }

  const fieldRow = (f, i) => {
    const value = readNumber(texts[i]);
    const fault = faultOf(f, texts[i]);
    return html`<li><button aria-current=${i === at ? 'true' : nothing} @click=${press(() => move(i))}>
      <span class="pad-label">${f.label}</span>
      <span class="pad-value">${texts[i] || (i === at ? '' : '–')}${i === at ? html`<span class="caret"></span>` : nothing}<span class="unit">${units[i]}</span></span>
      ${fault ? html`<span class="pad-fault" role="alert">▲ ${fault}</span>` : nothing}
      ${!fault && !Number.isNaN(value) && f.check ? f.check(value) : nothing}
      ${i === at && f.note ? html`<small>${f.note}</small>` : nothing}</button></li>`;
  };
  const quickKeys = (f) => html`<div class="pad-quick">
    ${f.last ? html`<button class="last" @click=${press(() => setText(f.last.value))}>${t('pad.as_last')}<span class="under">${f.last.text}</span></button>` : nothing}
    ${(f.quick ?? []).map((q) => html`<button @click=${press(() => { if (q.unit) units[at] = q.unit; setText(q.value); })}>${q.label}${q.under ? html`<span class="under">${q.under}</span>` : nothing}</button>`)}
    ${f.sign ? html`<button class="last" @click=${press(() => type('±'))}>± <span class="under">${t('pad.sign')}</span></button>` : nothing}
    ${(f.units ?? []).length > 1 ? html`<div class="pad-units" role="group" aria-label=${t('pad.unit')}>${f.units.map((u) => html`
      <button aria-pressed=${units[at] === u} @click=${press(() => setUnit(u))}>${u}</button>`)}</div>` : nothing}</div>`;
  const keyButton = (key) => html`<button class="key" aria-label=${key === '⌫' ? t('pad.back') : key} @click=${() => type(key)}>${key}</button>`;

  const draw = () => render(html`
    <div class="head"><h2>${title}</h2><button class="quiet" @click=${press(() => dialog.close())}>${t('act.cancel')}</button></div>
    <div class="pad-body">
      <div class="pad-side"><ul class="pad-fields">${fields.map(fieldRow)}</ul>${quickKeys(fields[at])}</div>
      <div class="pad-keys">${['7', '8', '9', '4', '5', '6', '1', '2', '3'].map(keyButton)}
        ${fields[at].whole ? html`<span></span>` : keyButton(decimalSign())}${keyButton('0')}${keyButton('⌫')}
        ${at < fields.length - 1 ? html`<button class="pad-next" @click=${press(() => move(at + 1))}>${t('pad.next', { what: fields[at + 1].label })}</button>` : nothing}
        <button class="main pad-save" ?disabled=${!canSave()} @click=${press(keep)}>${saveLabel(valuesNow(), unitsNow())}</button></div>
    </div>`, dialog);

  return new Promise((resolve) => {
    dialog.addEventListener('keydown', onKey);
    dialog.addEventListener('close', () => {
      dialog.remove();
      resolve();
    });
    dialog.tabIndex = -1;
    document.body.append(dialog);
    draw();
    dialog.showModal();
    dialog.focus();
  });
}
