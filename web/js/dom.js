/*
 * What every view draws with: lit-html's parts in one place, the rule for touch, and the voice for
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
