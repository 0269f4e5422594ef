/*
 * Logs a harvest from anywhere: which lot where, those that are ready first, then how much by the pad.  Beds count
 * heads, tanks fish and their weight.
 */
import * as api from './api.js';
import { html, nothing, press, render } from './dom.js';
import { enter } from './enter.js';
import { farmDay, mass, asText, massUnits, massFromUnit, number, shortDay } from './format.js';
import { openPad } from './forms/pad.js';
import { t } from './i18n.js';
import { mark } from './marks.js';
import { place } from './setup.js';

async function lotsNow() {
  const [beds, stock] = await Promise.all([api.get('/api/reports/beds'), api.get('/api/reports/stock')]);
  const day = farmDay();
  const crops = beds.rows.filter((r) => r.plants > 0 && r.rafts !== null && r.ready_on).map((r) => ({ sort: 'bed', where: r.bed, lot: r.crop_lot, what: r.variety, there: r.plants, ready_on: r.ready_on, ready: r.ready_on <= day }));
  const fish = stock.rows.filter((r) => r.fish > 0).map((r) => ({ sort: 'tank', where: r.tank, lot: r.fish_lot, what: r.species, there: r.fish, mean_g: r.mean_weight_g, ready: false }));
  return [...crops.filter((c) => c.ready), ...fish, ...crops.filter((c) => !c.ready).sort((a, b) => a.ready_on.localeCompare(b.ready_on))];
}

const GROUPS = [['ready', (c) => c.ready], ['tanks', (c) => c.sort === 'tank'], ['later', (c) => c.sort === 'bed' && !c.ready]];

function askWhich(lots) {
  const dialog = document.createElement('dialog');
  dialog.className = 'sheet';
  dialog.setAttribute('aria-labelledby', 'log-harvest-title');
  return new Promise((resolve) => {
    let chosen = null;
    const take = (lot) => press(() => {
      chosen = lot;
      dialog.close();
    });
    const tile = (c) => html`<button @click=${take(c)}>${c.where} · ${c.what}<span class="under">${c.lot} · ${c.sort === 'tank' ? t('round.fish', { n: c.there, shown: number(c.there) }) : t('at.plants', { n: c.there, shown: number(c.there) })}${c.ready ? nothing : c.ready_on ? ` · ${t('at.ready_on', { day: shortDay(c.ready_on) })}` : ''}</span></button>`;
    dialog.addEventListener('close', () => {
      dialog.remove();
      resolve(chosen);
    });
    render(html`<div class="head"><h2 id="log-harvest-title">${t('harvests.which')}</h2><button class="quiet" @click=${press(() => dialog.close())}>${t('act.cancel')}</button></div>
      <div class="body">${GROUPS.map(([name, belongs]) => [name, lots.filter(belongs)]).filter(([, rows]) => rows.length).map(([name, rows]) => html`<fieldset><legend>${t(`harvests.group.${name}`)}</legend><div class="tiles">${rows.map(tile)}</div></fieldset>`)}
      ${lots.length ? nothing : html`<p>${t('harvests.nothing_stands')}</p>`}</div>`, dialog);
    document.body.append(dialog);
    dialog.showModal();
  });
}

const pieces = (c) => ({ name: 'pieces', label: t(c.sort === 'tank' ? 'field.fish' : 'field.pieces'), unit: '', whole: true, low: 0, high: 1e8, note: t('harvest.standing', { n: number(c.there) }), quick: [{ label: t('harvest.all'), under: number(c.there), value: c.there }] });
const culled = () => ({ name: 'culled_pieces', label: t('field.culled_pieces'), unit: '', whole: true, low: 0, high: 1e8 });
const KG = () => massUnits()[1];
const weight = (c) => ({ name: 'weight', label: t('field.weight_g'), unit: KG(), low: 0, high: 1e7, note: c.mean_g ? t('round.each', { weight: asText(mass(c.mean_g)) }) : undefined });

async function idOf(kind, code) {
  const { items } = await api.get(`/api/${kind}?code=${encodeURIComponent(code)}`);
  return items[0]?.id;
}

async function keep(c, { weight: typed, ...counts }) {
  const at = place(c.where);
  const lot = c.sort === 'tank' ? { fish_lot_id: await idOf('fish-lots', c.lot), tank_id: at.row.id } : { crop_lot_id: await idOf('crop-lots', c.lot), bed_id: at.row.id };
  const grams = typed === undefined ? {} : { weight_g: Number(massFromUnit(typed, KG()).toPrecision(12)) };
  const said = counts.pieces === undefined ? asText(mass(grams.weight_g ?? 0)) : number(counts.pieces);
  await enter('harvests', { ...lot, ...counts, ...grams }, t('harvest.said', { n: said, place: c.where }));
}

const saveWords = (c) => ({ pieces: n, weight: typed }) => {
  if (n !== undefined) return t(c.sort === 'tank' ? 'harvest.button_fish' : 'harvest.button', { n, shown: number(n) });
  return typed === undefined ? t('round.harvest') : `${t('round.harvest')} ${number(typed, 2)} ${KG()}`;
};

/** Asks which lot and how much, and keeps the harvest. */
export async function logHarvest() {
  const c = await askWhich(await lotsNow());
  if (!c) return;
  await openPad({
    title: `${c.where} · ${c.what} ${c.lot}`, fields: [pieces(c), weight(c), culled()],
    saveLabel: saveWords(c), save: (values) => keep(c, values),
  });
}
