/*
 * The keys of a page, in one place: ? lists them, / searches, Escape leaves, Ctrl+Z takes back what the undo bar shows.  A screen says what is its own (listenKeys); what it does not
 * say is the page's: Escape goes to the screen that it stands under, / to the search by code.
 */
const TYPED = /^(?:INPUT|TEXTAREA|SELECT)$/;
const NOT_TYPED = /^(?:button|checkbox|file|radio|range|reset|submit)$/;

const own = []; // what the screen that is shown listens for; the newest counts
let page = { search: null, leave: null, undo: null };

/* Does a key that is pressed here write something? */
const isTyping = ({ target }) => TYPED.test(target.tagName ?? '') && !NOT_TYPED.test(target.type ?? '');

/** What the keys do now, for the list of them: {search, leave, undo, more}, each nothing where it does nothing. */
export function keysNow() {
  const mine = own.at(-1) ?? {};
  return {
    search: mine.search ? 'search_here' : page.search && 'search_code',
    leave: mine.leave ? mine.leaveSaid ?? 'leave' : page.leave?.() && 'leave',
    undo: page.undo?.() && 'undo',
    more: mine.more ?? [],
  };
}

const openList = () => import('./keys-sheet.js').then((sheet) => sheet.openKeys(), () => {});
/** Has the list on the tablet before the network goes.  Never rejects. */
export const loadKeys = () => import('./keys-sheet.js').catch(() => {});

/* A field with something in it is left first: what was typed is not lost by one key. */
function leave(event) {
  const mine = own.at(-1);
  if (isTyping(event) && event.target.value && !mine?.asks) {
    if (event.target.type !== 'search') event.target.blur(); // the browser itself empties a search
    return;
  }
  if (mine?.leave) mine.leave(event);
  else page.leave?.()?.();
}

function onKey(event) {
  if (event.defaultPrevented || event.altKey) return;
  const inDialog = document.querySelector('dialog[open]');
  if (event.ctrlKey || event.metaKey) {
    if (event.key === 'z' && !isTyping(event) && !inDialog) page.undo?.()?.();
    return;
  }
  if (event.key === '?' && !isTyping(event) && !inDialog?.classList.contains('keys')) {
    event.preventDefault();
    openList();
  }
  if (inDialog) return; // Escape closes it by itself
  if (event.key === '/' && !isTyping(event)) {
    event.preventDefault();
    (own.at(-1)?.search ?? page.search)?.();
  }
  if (event.key === 'Escape') leave(event);
}

/**
 * Listens for a screen.  search() finds its field, leave(event) goes where Escape leads; leaveSaid and more say so in the list.
 * @param {{search?: () => void, leave?: (event: KeyboardEvent) => void, leaveSaid?: string, asks?: boolean, more?: [string[], string][]}} keys asks: leave() asks before
 * what is typed is lost; more: keys of fields of its own, each with its word under keys in the catalogue
 * @returns {() => void} takes it back
 */
export function listenKeys(keys) {
  own.push(keys);
  return () => own.splice(own.indexOf(keys), 1);
}

/**
 * Begins to listen; main.js says what the keys do where a screen says nothing.
 * @param {{search: () => void, leave: () => (() => void)|null, undo: () => (() => void)|null}} given leave, undo: what would be done now, or null
 */
export function startKeys(given) {
  page = given;
  document.addEventListener('keydown', onKey);
}
