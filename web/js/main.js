/*
 * Starts the app: tablet, outbox, set-up, the frame around every screen, and the screen that the address names.
 * It keeps the screen fresh; what a screen shows is the view's.
 */
import { askAlarms } from './alarms.js';
import * as api from './api.js';
import { loadDay } from './day.js';
import { html, nothing, render } from './dom.js';
import { getLanguage, loadLanguages, setLanguage, t } from './i18n.js';
import { loadKeys, startKeys } from './keys.js';
import { isLive, startLive } from './live.js';
import { onOutbox, startOutbox } from './outbox.js';
import { go, startRouter } from './router.js';
import { isAtHand, loadAll, loadSoon, loadView, notFound, screens } from './screens.js';
import { farm, find, isLoaded, isSetup, loadSetup } from './setup.js';
import { onTablet, tablet } from './tablet.js';
import { mountPeople } from './people.js';
import { askWaters, loadOutbox, mountTop } from './top.js';
import { mountUndo, undoShown } from './undo.js';
import { keepPage } from './upgrade.js';

const POLL_MS = 15000;
const LIVE_POLL_MS = 60000; // what changes by the clock alone, while the event stream tells of all else
const AWAY_POLL_MS = 5000;
const SETUP_EVERY = 8; // polls
const REST_AFTER_MS = 4000; // the other screens come when this one works: they must be here when the network goes
const GATHER_MS = 120; // entries of one batch come together
const app = document.getElementById('app');
let frame = null;
let here = null; // {view: mounted view, screen, params, query, path}
let polls = 0;
let pollTimer = 0;
let webSeen; // the build of the web files that the service has
let asking = false; // whether anything was asked of the service yet
let drawing = null; // the update under way
let again = null; // {setup} when something moved meanwhile
let gathering = 0;

function chooseLanguage() {
  const own = tablet().language;
  const person = find('staff', tablet().staff_id)?.language;
  return setLanguage(own !== 'auto' ? own : person ?? farm().language ?? navigator.language?.slice(0, 2) ?? 'en');
}

function buildFrame() {
  render(html`
    <a class="unseen skip" id="skip" href="#main"></a><nav class="ways" id="ways"></nav>
    <header id="top"></header><main id="main" tabindex="-1"></main><div id="undo"></div><div id="people"></div>`, app);
  return {
    top: mountTop(document.getElementById('top')),
    undo: mountUndo(document.getElementById('undo')),
    people: mountPeople(document.getElementById('people')),
    main: document.getElementById('main'),
    ways: document.getElementById('ways'),
    skip: document.getElementById('skip'),
  };
}

function drawWays() {
  const current = here.screen.under ?? here.screen.path;
  frame.ways.setAttribute('aria-label', t('top.ways'));
  frame.skip.textContent = t('top.skip');
  render(html`${screens.filter((s) => s.nav).map((s) => html`
    <a href=${s.path} class=${s.nav === 'wide' ? 'wide-only' : nothing} aria-current=${s.path === current ? 'page' : nothing}>${t(s.title)}</a>`)}`, frame.ways);
}

function setTitle(title, detail) {
  document.title = `${title} · Weirbook`;
  frame.top.setTitle(title, detail);
}

function showScreen(found) {
  here?.view?.destroy?.();
  render(nothing, frame.main);
  frame.main.replaceChildren();
  delete frame.main._$litPart$; // lit-html's mark of the view before
  const screen = found.screen ?? notFound;
  const moved = here && here.path !== found.path;
  here = { ...found, screen };
  setTitle(t(screen.title));
  drawWays();
  if (moved) {
    scrollTo(0, 0);
    frame.main.focus({ preventScroll: true });
  }
  if (isAtHand(screen)) mountView(screen.view);
  else mountLoaded(here);
}

function mountView(view) {
  here.view = view.mount(frame.main, { params: here.params, query: here.query, path: here.path, setTitle });
  update();
}

async function mountLoaded(wanted) {
  try {
    const view = await loadView(wanted.screen);
    if (wanted === here) mountView(view);
  } catch {
    if (wanted === here) render(html`<p class="notice" role="status">${t('missing.not_here')}</p>`, frame.main);
  }
}

async function update() {
  await Promise.allSettled([frame.top.update(), here?.view?.update?.()]);
  api.dropEarly();
}

/* An answer asked for before the record moved may be an old one: then all is asked once more. */
async function updateMoved() {
  if (drawing) return;
  while (again && !document.hidden) {
    const { setup } = again;
    again = null;
    drawing = setup ? refreshSetup().then(update) : update();
    await drawing;
  }
  drawing = null;
}

function onNews({ kinds = [], all = false, lost = false, web, demo, beside }) {
  api.askAnew();
  webSeen = web ?? webSeen;
  frame?.top.setBuild(webSeen);
  if (demo) frame?.top.setDemo(beside);
  if (!asking) return; // what will be asked is newer than this news
  again = { setup: all || again?.setup || kinds.some(isSetup) };
  clearTimeout(gathering);
  gathering = setTimeout(updateMoved, GATHER_MS);
}

async function refreshSetup() {
  try {
    await loadSetup();
    await chooseLanguage();
  } catch (fault) {
    api.passKnown(fault);
  }
}

async function poll() {
  if (!document.hidden) {
    polls += 1;
    if (!isLoaded() || polls % SETUP_EVERY === 0) {
      const first = !isLoaded();
      await refreshSetup();
      if (first && isLoaded()) redraw();
    }
    await update();
  }
  pollIn(nextPollMs());
}
function nextPollMs() {
  if (!api.isReachable()) return AWAY_POLL_MS;
  return isLive() ? LIVE_POLL_MS : POLL_MS;
}
function pollIn(ms) {
  clearTimeout(pollTimer);
  pollTimer = setTimeout(poll, ms);
}

async function redraw() {
  await chooseLanguage();
  frame.people.update();
  showScreen({ screen: here.screen === notFound ? null : here.screen, params: here.params, query: here.query, path: here.path });
}

/* Only another language draws the screen anew: an entry under way, or what was typed, stays where it is. */
async function tabletChanged() {
  const before = getLanguage();
  await chooseLanguage();
  if (getLanguage() !== before) redraw();
  frame.top.drawState();
  frame.people.update();
}

/* What Round shows is asked for together with the set-up: one request, and drawn when it is there. */
const isWalk = (path) => path === '/' || path === '/round' || path.startsWith('/at/');
function askFirst() {
  if (isWalk(location.pathname)) api.askEarly(() => Promise.all([loadDay(), askAlarms(), askWaters()]));
  return loadSetup().catch(api.passKnown);
}

async function start() {
  const setup = askFirst();
  await chooseLanguage();
  frame = buildFrame();
  await setup;
  await chooseLanguage();
  asking = true;
  startRouter(screens, showScreen);
  startKeys({ search: () => go('/s'), leave: () => (here.screen.under ? () => go(here.screen.under) : null), undo: undoShown });
  startLive(onNews);
  onTablet(tabletChanged);
  onOutbox(({ recorded }) => {
    frame.top.drawState();
    if (recorded) update();
    else here.view?.update?.();
  });
  api.onReach((there) => {
    frame.top.drawState();
    if (!there) pollIn(AWAY_POLL_MS);
  });
  document.addEventListener('visibilitychange', () => {
    again ??= { setup: false };
    updateMoved();
  });
  pollIn(POLL_MS);
  await startOutbox();
  await Promise.all([loadSoon(), loadOutbox()]);
  if (!tablet().letter) await import('./codes.js').then((codes) => codes.takeLetter()).catch(() => {}); // the next start asks again
  setTimeout(() => loadLanguages().then(loadAll).then(loadKeys).then(keepPage).then(() => import('./at-hand.js')).then((hand) => hand.keepAtHand()).catch(() => {}), REST_AFTER_MS);
}

start();
