/* Labels and plates: what is to be labelled, on which sheet, and the sheets as they will be printed. */
import { html, nothing, press, repeat } from '../dom.js';
import { shortDay } from '../format.js';
import { kindName, t } from '../i18n.js';
import { labelFace } from '../label-face.js';
import { DAYS, SOURCES } from '../label-sources.js';
import { keepQuery } from '../router.js';
import { runScreen, tools } from '../screen.js';
import { farm } from '../setup.js';
import { layOut, SHEETS, sheetOf } from '../sheets.js';

/* Through the style object: the page's security policy refuses style attributes. */
function place(label, { left, top }) {
  label.style.left = `${left}mm`;
  label.style.top = `${top}mm`;
}

const SHEET = 'weirbook.sheet'; // the sheet that this tablet's printer holds
function lastSheet() {
  try {
    return localStorage.getItem(SHEET);
  } catch {
    return null;
  }
}
function keepSheet(name) {
  try {
    localStorage.setItem(SHEET, name);
  } catch {
    // it stands in the address
  }
}

/** Mounts Labels and plates; what is chosen, the sheet and the copies stand in the address.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { query, setTitle }) {
  const state = { of: SOURCES[query.get('of')] ? query.get('of') : 'places', sheet: sheetOf(query.get('sheet') ?? lastSheet()).name, first: Number(query.get('first')) || 1, copies: Number(query.get('copies')) || 1, chosen: new Set((query.get('codes') ?? '').split(' ').filter(Boolean)) };
  let pages = [];
  let screen = null;

  function change(part) {
    Object.assign(state, part);
    keepQuery({ of: state.of, sheet: state.sheet, ...(state.first > 1 ? { first: state.first } : {}), ...(state.copies > 1 ? { copies: state.copies } : {}), ...(state.chosen.size ? { codes: [...state.chosen].join(' ') } : {}) });
    screen.draw();
  }
  function toggle(code) {
    if (!state.chosen.delete(code)) state.chosen.add(code);
    change({});
  }
  async function pickSource(of) {
    change({ of, chosen: new Set() });
    await screen.update();
  }
  const count = (event) => Math.max(1, Math.floor(Number(event.target.value)) || 1);

  function choosing(rows) {
    const all = rows.length > 0 && rows.every((r) => state.chosen.has(r.code));
    return html`<div class="section no-print label-choice">
      <div class="label-asked">
        <label class="field"><span>${t('labels.of')}</span><select @change=${(e) => pickSource(e.target.value)}>${Object.keys(SOURCES).map((of) => html`<option value=${of} ?selected=${of === state.of}>${kindName(of)}</option>`)}</select></label>
        <label class="field"><span>${t('labels.sheet')}</span><select @change=${(e) => { keepSheet(e.target.value); change({ sheet: e.target.value }); }}>${SHEETS.map((s) => html`<option value=${s.name} ?selected=${s.name === state.sheet}>${t(`labels.sheets.${s.name}`)}</option>`)}</select></label>
        <label class="field"><span>${t('labels.copies')}</span><input type="number" min="1" max="200" inputmode="numeric" .value=${String(state.copies)} @change=${(e) => change({ copies: Math.min(count(e), 200) })}></label>
        <label class="field"><span>${t('labels.first')}</span><input type="number" min="1" inputmode="numeric" .value=${String(state.first)} @change=${(e) => change({ first: count(e) })}></label>
      </div>
      ${farm().label_base_url ? nothing : html`<p class="soft">${t('labels.no_address')} <a class="button tool" href="/farm/farm">${t('labels.set_address')}</a></p>`}
      ${rows.length ? html`<fieldset class="label-rows"><legend>${t('labels.which')}</legend>
        <label><input type="checkbox" .checked=${all} @change=${() => change({ chosen: all ? new Set() : new Set(rows.map((r) => r.code)) })}><b>${t('labels.all')}</b></label>
        ${repeat(rows, (r) => r.code, (r) => html`<label><input type="checkbox" .checked=${state.chosen.has(r.code)} @change=${() => toggle(r.code)}><b>${r.code}</b> <span class="soft">${r.line}${r.day ? ` · ${shortDay(r.day)}` : ''}</span></label>`)}</fieldset>` : html`<p>${t('labels.none', { n: DAYS })}</p>`}
    </div>`;
  }

  const view = (rows) => {
    setTitle(t('labels.title'), '');
    const chosen = rows.filter((r) => state.chosen.has(r.code)).flatMap((r) => Array.from({ length: state.copies }, () => r));
    pages = layOut(chosen, sheetOf(state.sheet), state.first);
    return html`<div class="desk labels">${tools(t('labels.what'), html`<button class="main" ?disabled=${!chosen.length} @click=${press(() => globalThis.print())}>${t('labels.print', { n: chosen.length })}</button>`)}
      ${choosing(rows)}
      ${pages.map((page) => html`<div class="label-page sheet-${state.sheet}"><div class="labels-on">${page.map(({ label: row }) => html`<div class="label">${labelFace(row)}</div>`)}</div></div>`)}</div>`;
  };
  screen = runScreen(el, {
    ask: () => SOURCES[state.of](),
    view,
    drawn: () => el.querySelectorAll('.labels-on').forEach((sheet, p) => [...sheet.children].forEach((l, i) => place(l, pages[p][i]))),
  });
  return screen;
}
