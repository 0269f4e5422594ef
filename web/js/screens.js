/*
 * The screens and their addresses.  A row: path, view (a module with mount, or what loads one when it is first
 * wanted), css (of its own; what is in index.html holds everywhere), title (key of the catalogue), and nav
 * for those that stand in the way between screens ("wide": only where there is room; More leads to them elsewhere).
 *
 * A view exports mount(el, given) -> {update?, destroy?}.  update() is called after
 * entries reached the record from here or elsewhere, and now and then; it asks what it needs (an unchanged answer costs
 * little) and draws.
 *
 * @typedef {{params: Record<string, string>, query: URLSearchParams, path: string, setTitle: (title: string, detail?: string) => void}} Given
 *   what main.js hands a view: parts of the address by name, its question, and what writes the top rule
 * @typedef {{update?: () => void|Promise<void>, destroy?: () => void}} Mounted
 */
import { loadRest } from './i18n.js';
import * as missing from './views/missing.js';
import * as round from './views/round.js';

const laterView = (name) => async () => (await import('./views/later.js')).laterView(name);
const LISTS = ['tables', 'desk', 'farm'];
const PICTURES = ['tables', 'desk', 'pictures'];

/** The screens, in the order of the way between them; an address is matched from the top. */
export const screens = [
  { path: '/', also: ['/round'], view: round, title: 'round.title', nav: true },
  { path: '/at/{code}', view: () => import('./views/at.js'), title: 'at.title', under: '/', soon: true },
  { path: '/tanks', view: () => import('./views/tanks.js'), css: PICTURES, title: 'tanks.title', nav: true },
  { path: '/tanks/{code}', view: () => import('./views/tank.js'), css: PICTURES, title: 'tanks.title', under: '/tanks' },
  { path: '/beds', view: () => import('./views/beds.js'), css: [...PICTURES, 'beds'], title: 'beds.title', nav: true },
  { path: '/beds/yield', view: () => import('./views/yield.js'), css: [...LISTS, ...PICTURES], title: 'yield.title', under: '/beds' },
  { path: '/beds/{code}', view: () => import('./views/bed-flow.js'), css: [...PICTURES, 'beds', 'bed-flow'], title: 'beds.title', under: '/beds' },
  { path: '/water', view: () => import('./views/water.js'), css: [...LISTS, ...PICTURES, 'water'], title: 'waters.title', nav: 'wide' },
  { path: '/water/dosing', view: () => import('./views/dosing.js'), css: [...LISTS, ...PICTURES, 'water'], title: 'dosing.title', under: '/water' },
  { path: '/water/of/{code}', view: () => import('./views/water-history.js'), css: [...LISTS, ...PICTURES, 'series', 'water', '/lib/uplot/uPlot.min.css'], title: 'waters.title', under: '/water' },
  { path: '/water/{code}', view: () => import('./views/probe.js'), css: [...LISTS, ...PICTURES, 'series', '/lib/uplot/uPlot.min.css'], title: 'waters.title', under: '/water' },
  { path: '/alarms', view: () => import('./views/alarms.js'), css: [...LISTS, ...PICTURES, 'alarms'], title: 'alarms.title', under: '/more' },
  { path: '/harvest', view: () => import('./views/harvest.js'), css: [...LISTS, ...PICTURES, 'harvest'], title: 'harvests.title', nav: true },
  { path: '/farm', view: () => import('./views/farm.js'), css: LISTS, title: 'farms.title', nav: 'wide' },
  { path: '/farm/farm', view: () => import('./views/kind-form.js'), css: LISTS, title: 'farms.title', under: '/farm' },
  { path: '/farm/import', view: () => import('./views/import.js'), css: LISTS, title: 'importing.title', under: '/farm' },
  { path: '/farm/{kind}', view: () => import('./views/kind-list.js'), css: LISTS, title: 'farms.title', under: '/farm' },
  { path: '/farm/{kind}/new', view: () => import('./views/kind-form.js'), css: LISTS, title: 'farms.title', under: '/farm' },
  { path: '/farm/{kind}/{id}', view: () => import('./views/kind-form.js'), css: LISTS, title: 'farms.title', under: '/farm' },
  { path: '/balance', view: () => import('./views/balance.js'), css: [...PICTURES, 'balance'], title: 'more.balance', under: '/more' },
  { path: '/sales', view: laterView('sales'), title: 'more.sales', under: '/more' },
  { path: '/plan', view: laterView('plan'), title: 'more.plan', under: '/more' },
  { path: '/board', view: () => import('./views/board.js'), css: ['board'], title: 'more.board', under: '/more' },
  { path: '/trouble', view: () => import('./views/trouble.js'), css: ['trouble'], title: 'trouble.title', under: '/more' },
  { path: '/begin', view: () => import('./views/begin.js'), css: [...LISTS, 'begin'], title: 'begin.title', under: '/' },
  { path: '/climate', view: () => import('./views/climate.js'), css: LISTS, title: 'climate.title', under: '/beds' },
  { path: '/calc', also: ['/calc/{name}'], view: () => import('./views/calc.js'), css: [...LISTS, 'calc'], title: 'more.calc', under: '/more' },
  { path: '/labels', view: () => import('./views/labels.js'), css: [...LISTS, 'labels'], title: 'labels.title', under: '/more' },
  { path: '/paper', view: () => import('./views/paper.js'), css: [...LISTS, 'paper'], title: 'paper.title', under: '/more' },
  { path: '/paper/type', view: () => import('./views/typing.js'), css: [...LISTS, 'paper'], title: 'paper.typing', under: '/paper' },
  { path: '/s/{code}', also: ['/s'], view: () => import('./views/code.js'), css: [...LISTS, 'labels'], title: 'labels.find', under: '/more' },
  { path: '/manual', also: ['/manual/{page}'], view: () => import('./views/manual.js'), css: ['manual'], title: 'manual.title', under: '/more' },
  { path: '/more', view: () => import('./views/more.js'), css: LISTS, title: 'more.title', nav: true },
];

/** What stands at every other address. */
export const notFound = { path: '', view: missing, title: 'missing.title' };

/* Style sheets of the css folder by name, each loaded once. */
const sheets = new Map();
/**
 * Loads a style sheet once.  Resolves also when it cannot be had: the screen is plain then, but there.
 * @param {string} name of css/, or an address that begins with / @returns {Promise<void>}
 */
export function loadSheet(name) {
  if (!sheets.has(name)) {
    sheets.set(name, new Promise((resolve) => {
      const link = Object.assign(document.createElement('link'), { rel: 'stylesheet', href: name.startsWith('/') ? name : `/css/${name}.css` });
      link.addEventListener('load', resolve);
      link.addEventListener('error', () => { // plain, but there; asked for anew next time
        sheets.delete(name);
        resolve();
      });
      document.head.append(link);
    }));
  }
  return sheets.get(name);
}

/** The module of a screen, with its style sheets there.  Rejects when it is not on this tablet and cannot be had. */
export async function loadView({ view, css = [], soon }) {
  const [module] = await Promise.all([typeof view === 'function' ? view() : view, soon || loadRest(), ...css.map(loadSheet)]);
  return module;
}
/** True when showing it needs nothing to be loaded. */
export const isAtHand = ({ view, css = [] }) => typeof view !== 'function' && css.every((name) => sheets.has(name));

/** Loads the screens that are pressed next.  Never rejects. */
export const loadSoon = () => Promise.allSettled(screens.filter((s) => s.soon).map(loadView));

/** Loads all that is not here yet, one after the other, so that the network may go. */
export async function loadAll() {
  for (const screen of screens) await loadView(screen).catch(() => {});
}
