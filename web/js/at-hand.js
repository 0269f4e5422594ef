/*
 * What a tablet asks for ahead, so that lots can be sown, harvested, packed and labelled while the network is away: answers that
 * api.js keeps and gives again.  The screens ask by the same addresses.
 */
import * as api from './api.js';
import { loadReferences } from './refs.js';
import { keepLabels } from './label-sources.js';
import { harvestFacts } from './lots.js';

const NAMED = ['varieties', 'crops', 'seed-lots', 'fish-lots', 'trays', 'products', 'partners', 'materials'];

/** Asks for it, one after the other; what cannot be had now is asked for when a screen wants it. */
export async function keepAtHand() {
  for (const step of [() => loadReferences(NAMED), harvestFacts, keepLabels]) {
    await step().catch(api.passKnown);
  }
}
