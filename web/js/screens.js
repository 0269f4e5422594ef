/*
 * The screens and their addresses.  A row: path, view (a module with mount), title (key of the catalogue), and nav
 * for those that stand in the way between screens.
 *
 * A view exports mount(el, {params, query, setTitle}) -> {update?, destroy?}.  update() is called after
 * entries reached the record and every 15 seconds; it asks what it needs (an unchanged answer costs
 * little) and draws.
 */
import * as at from './views/at.js';
import * as harvest from './views/harvest.js';
import * as missing from './views/missing.js';
import * as round from './views/round.js';
import * as tank from './views/tank.js';
import * as tanks from './views/tanks.js';

export const screens = [
  { path: '/', also: ['/round'], view: round, title: 'round.title', nav: true },
  { path: '/at/{code}', view: at, title: 'at.title', under: '/' },
  { path: '/tanks', view: tanks, title: 'tanks.title', nav: true },
  { path: '/tanks/{code}', view: tank, title: 'tanks.title', under: '/tanks' },
  { path: '/harvest', view: harvest, title: 'harvests.title', nav: true },
];

export const notFound = { path: '', view: missing, title: 'missing.title' };
