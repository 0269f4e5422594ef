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

export const THEMES = ['auto', 'light', 'dark', 'sun'];
export const HANDS = ['right', 'left'];
export const tablet = () => kept;

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
export function onTablet(watcher) {
  watchers.add(watcher);
  return () => watchers.delete(watcher);
}
