/*
 * Types a paper sheet into the record, line by line as it lies beside the keyboard: the tab order is the order on
 * paper.  Each line is kept as late entries, signed by who wrote it.
 */
import { newCode } from '../codes.js';
import { html, nothing, press, repeat } from '../dom.js';
import { enterAll } from '../enter.js';
import { farmDay, longDay } from '../format.js';
import { t } from '../i18n.js';
import { listenKeys } from '../keys.js';
import { mark } from '../marks.js';
import { cellName, lineView } from '../paper-lines.js';
import { entriesOf, initials, linesOf, loadPaper, plannedText, SHEETS } from '../paper.js';
import { keepQuery } from '../router.js';
import { runScreen } from '../screen.js';
import { find, list } from '../setup.js';
import { tablet } from '../tablet.js';

const isDay = (text) => /^\d{4}-\d\d-\d\d$/.test(text ?? '');
const DITTO = new Set(['by']);
/* What onKey and onInput do, for the list of keys. */
const TYPING_KEYS = [[['Enter'], 'type_enter'], [['Ctrl+Enter'], 'type_keep'], [['↑', '↓'], 'type_lines'], [['='], 'type_plan'], [['x'], 'type_done'], [['"'], 'type_ditto']];

/* What was typed outlives a reload. */
function drafts(name) {
  try {
    return JSON.parse(sessionStorage.getItem(name) ?? '{}');
  } catch {
    return {};
  }
}
function keepDrafts(name, lines) {
  try {
    sessionStorage.setItem(name, JSON.stringify(lines));
  } catch {
    // it stands in the fields
  }
}

/** Mounts the screen on which a paper sheet is typed; which one, of what day and by whom stands in the address.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { query, setTitle }) {
  const state = { sheet: SHEETS.includes(query.get('sheet')) ? query.get('sheet') : 'day', day: isDay(query.get('day')) ? query.get('day') : farmDay(), by: query.get('by') ?? '' };
  let screen = null;
  let typed = {};
  let done = new Map(); // line number to what became of it
  let errors = new Map();
  const draftName = () => `weirbook.paper.${state.sheet}.${state.day}`;
  const begin = () => {
    typed = drafts(draftName());
    done = new Map();
    errors = new Map();
  };
  begin();

  const fields = () => [...el.querySelectorAll('.paper-lines input')];
  const fieldOf = (line, name) => el.querySelector(`[data-line="${line.no}"] [data-cell="${name}"] input`);
  const firstOf = (no) => el.querySelector(`[data-line="${no}"] input:not([readonly])`);

  async function keepLine(line, lines) {
    const values = typed[line.no] ?? {};
    const writer = find('staff', Number(state.by));
    const found = entriesOf(line, values, { day: state.day, by: writer, typist: find('staff', tablet().staff_id), newCode: () => newCode(state.day) });
    errors.set(line.no, found.errors);
    const wrong = line.cells.find((c) => found.errors[c.name]);
    if (wrong) {
      screen.draw();
      fieldOf(line, wrong.name)?.focus();
      return;
    }
    if (found.entries.length) {
      const kept = await enterAll(found.entries, t('paper.said', { no: line.no, place: line.code || line.what }));
      if (kept.length) {
        done.set(line.no, { n: kept.length, all: kept.length === found.entries.length, state: kept.some((k) => k.state === 'kept') ? 'kept' : 'recorded' });
        delete typed[line.no];
        keepDrafts(draftName(), typed);
      }
    }
    screen.draw();
    const next = lines.slice(lines.indexOf(line) + 1).find((l) => !done.has(l.no));
    if (next) firstOf(next.no)?.focus();
  }

  function onKey(event, line, lines, cell) {
    const mine = line.cells.indexOf(cell);
    if (event.key === 'Enter') {
      event.preventDefault();
      const after = line.cells[mine + 1];
      if (event.ctrlKey || !after) keepLine(line, lines);
      else fieldOf(line, after.name).focus();
    } else if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
      event.preventDefault();
      const all = fields();
      const rows = lines.filter((l) => !done.has(l.no));
      const to = rows[rows.indexOf(line) + (event.key === 'ArrowDown' ? 1 : -1)];
      if (to) (fieldOf(to, cell.name) ?? firstOf(to.no) ?? all[0]).focus();
    }
  }
  function onInput(event, line, cell) {
    if (cell.sort === 'mass' && event.target.value.trim() === '=' && cell.planned) event.target.value = plannedText(cell);
    if (DITTO.has(cell.name) && event.target.value === '"') event.target.value = aboveOf(line, cell.name);
    typed[line.no] = { ...typed[line.no], [cell.name]: event.target.value };
    keepDrafts(draftName(), typed);
  }
  const aboveOf = (line, name) => {
    for (let no = line.no - 1; no > 0; no -= 1) if (typed[no]?.[name]) return typed[no][name];
    return '';
  };

  const inputOf = (lines) => (cell, line) => {
    const why = errors.get(line.no)?.[cell.name];
    const id = `l${line.no}-${cell.name}`;
    const past = done.has(line.no);
    return html`<label class="cell-name" for=${id}>${cellName(cell)}</label><input id=${id} autocomplete="off" spellcheck="false" inputmode=${cell.sort === 'by' || cell.sort === 'place' || cell.sort === 'answer' ? 'text' : 'decimal'}
      .value=${typed[line.no]?.[cell.name] ?? ''} placeholder=${cell.done ? `✓ ${cell.done}` : cell.hint ?? ''} ?readonly=${past} tabindex=${past ? -1 : 0} aria-invalid=${why ? 'true' : 'false'} aria-describedby=${why ? `${id}-why` : nothing}
      @input=${(e) => onInput(e, line, cell)} @keydown=${(e) => onKey(e, line, lines, cell)}>${why ? html`<span class="field-error" id="${id}-why">${why}</span>` : nothing}`;
  };
  const endOf = (lines) => (line) => {
    const was = done.get(line.no);
    return html`<span class="line-end">${was ? mark(was.all ? 'ok' : 'amber', was.all ? '✓' : '▽', html`${t('paper.entries', { n: was.n })} <small>${t(`state.${was.state}`)}</small>`)
      : html`<button @click=${press(() => keepLine(line, lines))}>${t('paper.keep')}<span class="unseen"> ${line.no}</span></button>`}</span>`;
  };

  const change = (part) => {
    Object.assign(state, part);
    keepQuery({ sheet: state.sheet, day: state.day, ...(state.by ? { by: state.by } : {}) });
    if (!('by' in part)) begin();
    screen.update();
  };
  const staffPick = () => html`<label class="field inline"><span>${t('paper.written_by')}</span><select @change=${(e) => change({ by: e.target.value })}><option value="">–</option>${list('staff').map((p) => html`<option value=${p.id} ?selected=${String(p.id) === state.by}>${initials(list('staff')).get(p.id)} ${p.name}</option>`)}</select></label>`;

  screen = runScreen(el, {
    ask: () => loadPaper(state.sheet, state.day),
    view: (data) => {
      const lines = linesOf(data);
      setTitle(t('paper.typing'), `${t(`paper.sheet.${data.sheet}`)} · ${longDay(data.day)}`);
      return html`<div class="desk paper typing"><div class="desk-tools"><fieldset class="picks" aria-label=${t('paper.which')}>${SHEETS.map((s) => html`<button class="pick" aria-pressed=${String(s === state.sheet)} @click=${press(() => change({ sheet: s }))}>${t(`paper.sheet.${s}`)}</button>`)}</fieldset>
        <label class="field inline"><span>${t('paper.date')}</span><input type="date" max=${farmDay()} .value=${state.day} @change=${(e) => isDay(e.target.value) && change({ day: e.target.value })}></label>${staffPick()}
        <span class="grow"></span><a class="button" href="/paper?sheet=${state.sheet}&day=${state.day}">${t('paper.see')}</a></div>
        <p class="keys soft">${t('paper.keys')}</p>
        ${lines.length ? html`<ol class="paper-lines">${repeat(lines, (line) => `${state.sheet} ${state.day} ${line.no}`, (line) => lineView(line, inputOf(lines), endOf(lines)))}</ol>` : html`<div class="notice"><p>${t('paper.none')}</p></div>`}</div>`;
    },
  });
  const stop = listenKeys({ more: TYPING_KEYS });
  return { ...screen, destroy: () => { stop(); screen.destroy(); } };
}
