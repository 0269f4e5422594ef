/*
 * What every view draws with: lit-html's parts in one place, the rules for touch and for the focus, and the voice for
 * screen readers.  It knows nothing of the farm.
 */
/** lit-html's parts, which views take from here alone. */
export { html, svg, render, nothing } from '/lib/lit-html/lit-html.js';
/** For lists: repeat(items, key(item), template(item)) keeps the element of an item while the list moves. */
export { repeat } from '/lib/lit-html/directives/repeat.js';

const REPEAT_MS = 400;
const lastPress = new WeakMap();

/**
 * Wraps a click handler: wet glass makes ghost touches, so a second press of the same target within
 * 400 ms is dropped.  A click already acts on release inside the target only.
 */
export function press(handler) {
  return (event) => {
    const target = event.currentTarget;
    const before = lastPress.get(target) ?? -Infinity;
    if (event.timeStamp - before < REPEAT_MS) return;
    lastPress.set(target, event.timeStamp);
    handler(event);
  };
}

/**
 * Makes act(step): runs a step of entering, and after it `then`.  While one runs another press does nothing.
 * @param {() => Promise<void>} then draws what is new @returns {(step: () => any) => Promise<void>}
 */
export function oneAtATime(then) {
  let busy = false;
  return async (step) => {
    if (busy) return;
    busy = true;
    try {
      await step();
    } finally {
      busy = false;
    }
    await then();
  };
}

const REACHED = 'a[href], button:not(:disabled), input:not(:disabled), select, textarea, summary, [tabindex="0"]';
const reached = (el) => [...el.querySelectorAll(REACHED)].filter((one) => one.getClientRects().length);

/**
 * For who works by keys: draws el anew, and where that took the focused button away the focus goes to what stands in its place.
 * @param {HTMLElement} el @param {() => void} draw @param {() => HTMLElement|null} instead where it goes first, if it is there
 */
export function keepFocus(el, draw, instead = () => null) {
  const held = document.activeElement;
  const at = held?.matches(':focus-visible') ? reached(el).indexOf(held) : -1;
  draw();
  if (at < 0 || document.activeElement === held) return;
  const all = reached(el);
  (instead() ?? all[Math.min(at, all.length - 1)])?.focus();
}

/** Says a sentence to screen readers without moving the focus. */
export function announce(text) {
  let voice = document.getElementById('voice');
  if (!voice) {
    voice = document.createElement('div');
    voice.id = 'voice';
    voice.className = 'unseen';
    voice.setAttribute('aria-live', 'polite');
    document.body.append(voice);
  }
  voice.textContent = text;
}
