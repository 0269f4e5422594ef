/*
 * The top rule of every screen: title, what waits to be sent, who is here; and under it one line a water.
 */
import { alarmsLink, askAlarms } from './alarms.js';
import * as api from './api.js';
import { html, nothing, press, render, repeat } from './dom.js';
import { age, daysBetween, farmDay, now, number, reading, shortDay, weekday } from './format.js';
import { t } from './i18n.js';
import { mark } from './marks.js';
import { needMending, waiting, waitingSince } from './outbox.js';
import { openPeople, openTablet } from './people.js';
import { place, staffName } from './setup.js';
import { tablet } from './tablet.js';
import { isOldPage, loadNewPage } from './upgrade.js';
import { waterOf } from './waters.js';

const LOUD_H = 24;
const WATERS = '/api/reports/waters';
const outboxSheet = () => import('./outbox-sheet.js'); // most wanted when the network is gone
const openOutbox = async () => (await outboxSheet()).openOutbox();
/** Has the sheet of what waits here before the network goes.  Never rejects. */
export const loadOutbox = () => outboxSheet().catch(() => {});

function outboxState() {
  const mending = needMending().length;
  const kept = waiting().length - mending;
  if (mending) return html`<button class="mending" @click=${press(openOutbox)}>${t('top.mending', { n: mending })}</button>`;
  if (!kept) return nothing;
  const hours = (now() - new Date(waitingSince())) / 3600e3;
  return html`<button class=${hours > LOUD_H ? 'mending' : 'waiting'} @click=${press(openOutbox)}>${t('top.waiting', { n: kept, age: age(waitingSince()) })}</button>`;
}

const outMark = (o, said) => mark(o.stop ? 'red' : 'amber', o.low ? '▼' : '▲', said);
const figure = (f) => {
  const { text, unit } = reading(f.quantity, f.value, f.bound);
  return html`<span class="num ${f.stale ? 'soft' : ''}">${t(`water.short.${f.quantity}`)} <b>${text}</b><span class="unit">${unit}</span>${f.stale ? html` <small>${age(f.at)}</small>` : nothing}${f.out
    ? html` ${outMark(f.out, t(`water.here.${f.out.state}`, { place: f.out.place }))}` : nothing}</span>`;
};
const feed = ({ value, band }) => html`<span class="num"><b>${number(value)}</b><span class="unit">${t('water.feed_area')}</span>${band === 'below' || band === 'above'
  ? html` ${mark('amber', band === 'below' ? '▼' : '▲', t(`water.band.${band}`))}` : nothing}</span>`;
/* "base due Thursday": a weekday within the week, else the day. */
function base({ state, day }) {
  const days = day ? daysBetween(farmDay(), day) : 0;
  if (state === 'ok') return html`<span>${t('water.base.ok', { day: days < 7 ? weekday(day) : shortDay(day) })}</span>`;
  return mark('amber', '▼', t(`water.base.${state}`));
}

/* The page goes on as it is: what was typed is not taken away by itself, and what waits is kept on the tablet. */
const upgradeNotice = () => html`<p class="upgrade no-print" role="status"><span>${t('top.upgrade')}</span>
  <button @click=${press(loadNewPage)}>${t('top.reload')}</button></p>`;

/* Nobody shall take the demo farm for a real one; the farm that it stands beside is one press away. */
const demoNotice = (beside) => html`<p class="demo-farm"><span>${t('top.demo')}</span>${beside ? html`<a class="button no-print" href="//${location.hostname}:${beside}/">${t('top.own_farm')}</a>` : nothing}</p>`;

const loopName = (code) => place(code)?.row.name ?? `${t('kind.loops.one')} ${code}`;
const waterLine = (w) => html`<p tabindex="0"><span class="water-name">${loopName(w.loop)}</span>
  ${w.out ? outMark(w.out, t(`water.out.${w.out.state}`, { what: t(`water.short.${w.out.quantity}`), place: w.out.place })) : nothing}${w.figures.map(figure)}
  ${w.more ? html`<span>${t('board.more', { n: w.more })}</span>` : nothing}${w.feed ? feed(w.feed) : nothing}${w.base ? base(w.base) : nothing}</p>`;

/** Asks for the line of each water. */
export const askWaters = () => api.get(WATERS);

/** Mounts the top rule.  update() asks for the waters; setTitle(title, detail) is the screen's. */
export function mountTop(el) {
  const state = { title: '', detail: '', waters: null, alarms: [], old: false, demo: null };

  const draw = () => render(html`
    <div class="top">
      <div class="title"><h1>${state.title}</h1><span class="soft">${state.detail}</span></div>
      ${alarmsLink(state.alarms)}
      <div class="tools">${outboxState()}<a class="button trouble" href="/trouble">${t('trouble.title')}</a>
        <button class="person" @click=${press(openPeople)}>${staffName(tablet().staff_id) ?? t('top.who')}</button>
        <button @click=${press(openTablet)}>${t('top.tablet')}</button></div>
    </div>
    ${api.isReachable() ? nothing : html`<p class="away" role="status">${t('top.away')} ${api.shownSince() ? t('top.as_of', { age: age(new Date(api.shownSince())) }) : nothing}</p>`}
    ${state.demo === null ? nothing : demoNotice(state.demo)}
    ${state.old ? upgradeNotice() : nothing}
    ${state.waters?.length ? html`<section class="waters" aria-label=${t('top.waters')}>${repeat(state.waters, (w) => w.loop, waterLine)}</section>` : nothing}`, el);

  async function update() {
    askAlarms().then((rows) => {
      state.alarms = rows;
      draw();
    });
    try {
      const { rows } = await askWaters();
      state.waters = rows.map((row) => waterOf(row, now()));
    } catch (fault) {
      api.passKnown(fault);
    }
    draw();
  }

  draw();
  return {
    update,
    drawState: draw,
    /* The web files that the service serves now; undefined: not said. */
    setBuild(web) {
      if (web === undefined || isOldPage(web) === state.old) return;
      state.old = isOldPage(web);
      draw();
    },
    /* This is the demo farm, beside the farm that is served on a port; 0: alone. */
    setDemo(beside) {
      if (state.demo === beside) return;
      state.demo = beside;
      draw();
    },
    setTitle(title, detail = '') {
      Object.assign(state, { title, detail });
      draw();
    },
  };
}
