/*
 * What belongs to this tablet and not to the farm: theme, hand, language, who holds it, its letter for
 * label codes.  Kept in localStorage, so that it holds before the service has answered.
 */
const NAME = 'weirbook.tablet';
const defaults = { theme: 'auto', hand: 'right', language: 'auto', staff_id: null, letter: null };
let kept = { ...defaults };
const watchers = new Set();

try {
  kept = { ...defaults, ...JSON.parse(localStorage.getItem(NAME) ?? '{}') };
} catch {
  // a damaged or forbidden store: the defaults hold
}

function show() {
  const root = document.documentElement;
  if (kept.theme === 'auto') delete root.dataset.theme;
  else root.dataset.theme = kept.theme;
  root.dataset.hand = kept.hand;
}
show();

/** The themes to choose from. */
export const THEMES = ['auto', 'light', 'dark', 'sun'];
/** The hands to choose from: on which side the keys stand. */
export const HANDS = ['right', 'left'];
/** What this tablet keeps.  @returns {{theme: string, hand: string, language: string, staff_id: number|null, letter: string|null}} */
export const tablet = () => kept;

/** Changes some of it, keeps it and tells onTablet().  @param {object} change members to change */
export function setTablet(change) {
  kept = { ...kept, ...change };
  try {
    localStorage.setItem(NAME, JSON.stringify(kept));
  } catch {
    // it holds until the page is left
  }
  show();
  for (const watcher of watchers) watcher(kept);
}
/** Calls back after every change.  @param {(kept: object) => void} watcher @returns {() => void} takes it back */
export function onTablet(watcher) {
  watchers.add(watcher);
  return () => watchers.delete(watcher);
}
