/* Paper: the day sheet in walking order, the sheet of the beds, and forms without a date for when there is no power. */
import { html, nothing, press } from '../dom.js';
import { farmDay, longDay } from '../format.js';
import { t } from '../i18n.js';
import { cellName, lineView } from '../paper-lines.js';
import { initials, linesOf, loadPaper, SHEETS } from '../paper.js';
import { keepQuery } from '../router.js';
import { printButton, runScreen } from '../screen.js';
import { farm, list } from '../setup.js';

const FREE_LINES = 12;
const isDay = (text) => /^\d{4}-\d\d-\d\d$/.test(text ?? '');

const box = (cell) => html`<span class="cell-name">${cellName(cell)}</span><span class="box">${cell.done ? html`<b>✓ ${cell.sort === 'tick' ? nothing : cell.done}</b>` : cell.hint ?? ''}</span>`;
const writtenBy = () => html`<p class="signs"><span>${t('paper.written_by')} <span class="rule"></span></span>${[...initials(list('staff'))].map(([id, letters]) => html`<span><b>${letters}</b> ${list('staff').find((p) => p.id === id).name}</span>`)}</p>`;

/* What no line is made for: typed later on the screen of the place. */
const freeLines = () => html`<h2>${t('paper.free')}</h2><table class="free-lines"><thead><tr>${['time', 'place', 'what', 'number', 'by'].map((name) => html`<th scope="col">${t(`paper.free_${name}`)}</th>`)}</tr></thead>
  <tbody>${Array.from({ length: FREE_LINES }, () => html`<tr>${[1, 2, 3, 4, 5].map(() => html`<td></td>`)}</tr>`)}</tbody></table>`;

function sheetView(data) {
  const blank = data.sheet === 'blank';
  return html`<article class="paper-sheet" aria-label=${t(`paper.sheet.${data.sheet}`)}><header><h1>${t(`paper.sheet.${data.sheet}`)}</h1><p>${farm().name ?? ''} · ${blank ? html`${t('paper.date')} <span class="rule"></span>` : html`<b>${longDay(data.day)}</b> ${data.day}`}</p>
    ${writtenBy()}<p class="how">${t(data.sheet === 'beds' ? 'paper.how_beds' : 'paper.how')}</p>${data.sheet === 'beds' ? nothing : html`<p class="how strong">${t('paper.safety')}</p>`}</header>
    <ol class="paper-lines">${linesOf(data).map((line) => lineView(line, box))}</ol>${blank ? freeLines() : nothing}</article>`;
}

/** Mounts a sheet as it will be printed; which one and of what day stands in the address.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { query, setTitle }) {
  const state = { sheet: SHEETS.includes(query.get('sheet')) ? query.get('sheet') : 'day', day: isDay(query.get('day')) ? query.get('day') : farmDay() };
  let screen = null;
  const change = (part) => {
    Object.assign(state, part);
    keepQuery({ sheet: state.sheet, ...(state.day === farmDay() ? {} : { day: state.day }) });
    screen.update();
  };
  screen = runScreen(el, {
    ask: () => loadPaper(state.sheet, state.day),
    view: (data) => {
      setTitle(t('paper.title'), t(`paper.sheet.${data.sheet}`));
      return html`<div class="desk paper"><div class="desk-tools no-print"><fieldset class="picks" aria-label=${t('paper.which')}>${SHEETS.map((s) => html`<button class="pick" aria-pressed=${String(s === state.sheet)} @click=${press(() => change({ sheet: s }))}>${t(`paper.sheet.${s}`)}</button>`)}</fieldset>
        ${state.sheet === 'day' ? html`<label class="field inline"><span>${t('field.day')}</span><input type="date" .value=${state.day} @change=${(e) => isDay(e.target.value) && change({ day: e.target.value })}></label>` : nothing}
        <span class="grow"></span><a class="button" href="/paper/type?sheet=${state.sheet}&day=${state.day}">${t('paper.type')}</a>${printButton()}</div>${sheetView(data)}</div>`;
    },
  });
  return screen;
}
