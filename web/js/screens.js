/*
 * The screens and their addresses.  A row: path, view (a module with mount), title (key of the catalogue), and nav
 * for those that stand in the way between screens ("wide": only where there is room; More leads to them elsewhere).
 *
 * A view exports mount(el, {params, query, setTitle}) -> {update?, destroy?}.  update() is called after
 * entries reached the record from here or elsewhere, and now and then; it asks what it needs (an unchanged answer costs
 * little) and draws.
 */
import * as at from './views/at.js';
import * as begin from './views/begin.js';
import * as bedFlow from './views/bed-flow.js';
import * as beds from './views/beds.js';
import * as code from './views/code.js';
import * as farm from './views/farm.js';
import * as harvest from './views/harvest.js';
import * as importing from './views/import.js';
import * as kindForm from './views/kind-form.js';
import * as kindList from './views/kind-list.js';
import * as labels from './views/labels.js';
import { laterView } from './views/later.js';
import * as missing from './views/missing.js';
import * as more from './views/more.js';
import * as round from './views/round.js';
import * as tank from './views/tank.js';
import * as tanks from './views/tanks.js';
import * as water from './views/water.js';

export const screens = [
  { path: '/', also: ['/round'], view: round, title: 'round.title', nav: true },
  { path: '/at/{code}', view: at, title: 'at.title', under: '/' },
  { path: '/tanks', view: tanks, title: 'tanks.title', nav: true },
  { path: '/tanks/{code}', view: tank, title: 'tanks.title', under: '/tanks' },
  { path: '/beds', view: beds, title: 'beds.title', nav: true },
  { path: '/beds/{code}', view: bedFlow, title: 'beds.title', under: '/beds' },
  { path: '/water', view: water, title: 'waters.title', nav: 'wide' },
  { path: '/harvest', view: harvest, title: 'harvests.title', nav: true },
  { path: '/farm', view: farm, title: 'farms.title', nav: 'wide' },
  { path: '/farm/farm', view: kindForm, title: 'farms.title', under: '/farm' },
  { path: '/farm/import', view: importing, title: 'importing.title', under: '/farm' },
  { path: '/farm/{kind}', view: kindList, title: 'farms.title', under: '/farm' },
  { path: '/farm/{kind}/new', view: kindForm, title: 'farms.title', under: '/farm' },
  { path: '/farm/{kind}/{id}', view: kindForm, title: 'farms.title', under: '/farm' },
  { path: '/balance', view: laterView('balance'), title: 'more.balance', under: '/more' },
  { path: '/sales', view: laterView('sales'), title: 'more.sales', under: '/more' },
  { path: '/plan', view: laterView('plan'), title: 'more.plan', under: '/more' },
  { path: '/board', view: laterView('board'), title: 'more.board', under: '/more' },
  { path: '/begin', view: begin, title: 'begin.title', under: '/' },
  { path: '/labels', view: labels, title: 'labels.title', under: '/more' },
  { path: '/s/{code}', also: ['/s'], view: code, title: 'labels.find', under: '/more' },
  { path: '/more', view: more, title: 'more.title', nav: true },
];

export const notFound = { path: '', view: missing, title: 'missing.title' };
