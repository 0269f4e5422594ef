/* Farm: the set-up, the lots and all entries, a list and a form for each kind of the dictionary; import and export. */
import { html, nothing, render, repeat } from '../dom.js';
import { kindName, kindOne, t } from '../i18n.js';
import { listenKeys } from '../keys.js';

import { farm, record } from '../setup.js';

const isMade = (kind) => kind.class !== 'system';
const GROUPS = [['set_up', (k) => k.class === 'set_up'], ['lot', (k) => k.class === 'lot'], ['entry', (k) => k.class === 'entry'], ['system', (k) => k.class === 'system' && !['farm', 'readings'].includes(k.name)]];

const kindRow = (kind) => html`<li><a class="kind" href="/farm/${kind.name}">${kindName(kind.name)}</a>
  ${isMade(kind) ? html`<a class="side" href="/farm/${kind.name}/new" aria-label=${t('form.new_of', { what: kindOne(kind.name) })}>${t('form.new')}</a>` : nothing}
  <a class="side" href="/api/${kind.name}.csv" download aria-label=${t('farms.csv_of', { what: kindName(kind.name) })}>${t('desk.csv')}</a></li>`;

/** Mounts Farm: the list of kinds, with a search over their names.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { setTitle }) {
  let search = '';
  const draw = () => {
    setTitle(t('farms.title'), farm().name ?? '');
    const kinds = record()?.kinds ?? [];
    const fits = (kind) => kindName(kind.name).toLocaleLowerCase().includes(search.toLocaleLowerCase());
    render(html`<div class="desk farm"><div class="desk-tools no-print"><label class="grow search"><span class="unseen">${t('farms.search')}</span><input type="search" placeholder=${t('farms.search')} .value=${search} @input=${(e) => { search = e.target.value; draw(); }}></label>
        <a class="button" href="/farm/farm">${t('farms.own')}</a><a class="button" href="/farm/import">${t('importing.title')}</a></div>
      ${repeat(GROUPS.map(([name, belongs]) => [name, kinds.filter(belongs).filter(fits)]).filter(([, rows]) => rows.length), ([name]) => name, ([name, rows]) => html`<section class="desk-part"><div class="part-head"><h2>${t(`farms.group.${name}`)}</h2></div><ul class="kinds">${repeat(rows, (kind) => kind.name, kindRow)}</ul></section>`)}
      <p class="said-days">${t('farms.export_what')}</p></div>`, el);
  };
  const stop = listenKeys({ search: () => el.querySelector('input[type=search]')?.focus() });
  draw();
  return { update: draw, destroy: stop };
}
