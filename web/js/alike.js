/*
 * Entries that two people may have made of one event: shown on Round with what each says, to strike the later one or to leave both.
 * The service finds the pairs; that both are right is remembered by this tablet.
 */
import * as api from './api.js';
import { html, nothing, press, repeat } from './dom.js';
import { asText, clock, farmDay, mass } from './format.js';
import { t } from './i18n.js';
import { undo, waiting } from './outbox.js';
import { codeClass } from './marks.js';
import { find, staffName } from './setup.js';

const KINDS = ['fish-deaths', 'feedings'];
const NAME = 'weirbook.both-right';
const AT_MOST = 200;

function bothRight() {
  try {
    return JSON.parse(localStorage.getItem(NAME)) ?? [];
  } catch {
    return [];
  }
}
function rememberBothRight(key) {
  try {
    localStorage.setItem(NAME, JSON.stringify([...bothRight(), key].slice(-AT_MOST)));
  } catch {
    // it is asked again
  }
}

/** Today's pairs [{kind, first, later}] from the day's entries as day.js loads them; none while the service is away. */
export async function loadAlike(logged) {
  const day = farmDay();
  const pairsOf = async (kind) => {
    if ((logged[kind] ?? []).length < 2) return [];
    const { pairs } = await api.get(`/api/${kind}/alike?from=${day}&to=${day}`);
    const byId = new Map(logged[kind].map((e) => [e.id, e]));
    return pairs.map(({ id, later_id: laterId }) => ({ kind, first: byId.get(id), later: byId.get(laterId) })).filter((p) => p.first && p.later);
  };
  try {
    return (await Promise.all(KINDS.map(pairsOf))).flat();
  } catch (fault) {
    api.passKnown(fault);
    return [];
  }
}

const amount = (entry) => (entry.fish !== undefined ? t('alike.dead', { n: entry.fish }) : t('alike.fed', { amount: asText(mass(entry.amount_g)) }));
const told = (entry) => `${staffName(entry.staff_id) ?? t('alike.somebody')} ${clock(entry.at)}`;
const isOpen = (pair) => !bothRight().includes(pair.later.key)
  && !waiting(pair.kind).some((r) => r.op === 'strike' && [pair.first.key, pair.later.key].includes(r.key));

function pairView(pair, act) {
  const code = find('places', pair.later.tank_id)?.code ?? find('tanks', pair.later.tank_id)?.code ?? '';
  return html`<section class="entry" aria-label=${t('alike.title', { place: code })}><div class="where"><span class=${codeClass(code)}>${code}</span></div>
    <div class="what"><p><b>${t('alike.what', { what: amount(pair.later) })}</b><br><small>${told(pair.first)} · ${told(pair.later)}</small></p>
    <div class="acts"><button @click=${press(() => act(() => undo(pair.kind, pair.later.key, t('alike.why'))))}>${t('alike.strike', { who: told(pair.later) })}</button>
    <button @click=${press(() => act(() => rememberBothRight(pair.later.key)))}>${t('alike.both')}</button></div></div></section>`;
}

/** The pairs that nobody has settled, each with its two answers; act(step) runs a step and draws anew. */
export function alikeView(pairs, act) {
  const open = pairs.filter(isOpen);
  return open.length ? html`<div class="alike"><h2 class="group due">${t('alike.head')} <small>${open.length}</small></h2>${repeat(open, (pair) => pair.later.key, (pair) => pairView(pair, act))}</div>` : nothing;
}
