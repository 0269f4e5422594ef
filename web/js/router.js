/*
 * Addresses and screens: the history of the browser is ours, so that the back button, a link that was
 * sent and a plate that was scanned all lead to the same screen.
 */
let table = [];
let onChange = () => {};

function compile(path) {
  const names = [];
  const text = path.replace(/\{(\w+)\}/g, (all, name) => {
    names.push(name);
    return '([^/]+)';
  });
  return { pattern: new RegExp(`^${text}/?$`), names };
}

function match(path) {
  for (const row of table) {
    const found = row.pattern.exec(path);
    if (found) {
      const params = Object.fromEntries(row.names.map((name, i) => [name, decodeURIComponent(found[i + 1])]));
      return { screen: row.screen, params };
    }
  }
  return { screen: null, params: {} };
}

function show() {
  const url = new URL(location.href);
  onChange({ ...match(url.pathname), path: url.pathname, query: url.searchParams });
}

/** Leads to an address within the app; `replace` leaves no step for the back button. */
export function go(address, { replace = false } = {}) {
  if (address === location.pathname + location.search) return show();
  history[replace ? 'replaceState' : 'pushState'](null, '', address);
  return show();
}

/** Keeps a filter in the address without a step for the back button and without drawing anew. */
export function keepQuery(query) {
  const text = new URLSearchParams(query).toString();
  history.replaceState(null, '', location.pathname + (text ? `?${text}` : ''));
}

function followLink(event) {
  const link = event.target.closest?.('a[href]');
  if (!link || event.defaultPrevented || event.button || event.metaKey || event.ctrlKey || event.shiftKey) return;
  const url = new URL(link.href);
  if (url.hash && url.pathname + url.search === location.pathname + location.search) { // to a part of this screen: the focus goes there, the screen stays
    event.preventDefault();
    document.querySelector(url.hash)?.focus();
    return;
  }
  if (url.origin !== location.origin || link.target || link.hasAttribute('download') || url.pathname.startsWith('/api/')) return;
  event.preventDefault();
  go(url.pathname + url.search);
}

/** Starts with [{path, screen}]; calls changed({screen, params, query, path}) now and at each step. */
export function startRouter(screens, changed) {
  table = screens.flatMap((screen) => [screen.path, ...(screen.also ?? [])].map((path) => ({ screen, ...compile(path) })));
  onChange = changed;
  addEventListener('popstate', show);
  document.addEventListener('click', followLink);
  show();
}
