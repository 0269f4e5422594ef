/*
 * Where work can hurt someone a short caution stands at the place of the act, in both languages, and defers to the label, the local
 * code or licensed people.  The list is the requirement's; no setting turns any of them off.
 */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, daysAgo, eventually, prepare } from './support.mjs';

let service;
let browser;
let ids;
async function more(its, made) {
  const make = async (kind, fields) => (await its.post(`/api/${kind}`, fields)).id;
  for (const [code, role] of [['DG', 'degassing'], ['MB', 'moving_bed'], ['PU', 'pump'], ['UV', 'uv']]) {
    made[code] = await make('units', { code, name: code, loop_id: made.loop, role, walk_order: 200 });
    await make('chores', { title: `Look after ${code}`, place_id: made[code], every_days: 1, due_hour: 12, answer: 'done' });
  }
  made.zone = await make('zones', { code: 'Z1', name: 'Glass house', walk_order: 210 });
  made.base = await make('materials', { name: 'Potash', purpose: 'alkalinity', formula: 'KOH', purity_pct: 90 });
  await make('products', { code: 'ASH12', name: 'Lettuce, crate of 12', crop_id: made.crop, unit: 'head', pack_size: 12, crate_pieces: 12 });
  await make('harvests', { code: 'H0', crop_lot_id: made.sowing, bed_id: made.B1, pieces: 12, day: daysAgo(1) });
}
prepare((given) => { ({ browser, ids, service } = given); }, { once: true, seed: { more }, holder: null });

const packSheet = async (page) => {
  await page.locator('.store tbody tr').filter({ hasText: 'H0' }).getByRole('button').first().click();
  await page.locator('dialog.pack-sheet').waitFor();
};
/* Each: what can hurt, where the act is, what leads to it, and what must be said there in each language. */
const LIST = [
  ['dosing desk', '/water/dosing', null, /label and the safety sheet/, /etiqueta y la hoja de seguridad/],
  ['a dose logged', '/farm/doses/new', null, /never mix materials/, /nunca mezcle productos/],
  ['degassing, at the unit', '/at/DG', null, /lack air or hold gas.*local code/, /no tener aire.*norma local/],
  ['filter, at the unit', '/at/MB', null, /never alone/, /nunca solo/],
  ['filter chore, on Round', '/', null, /lack air or hold gas/, /no tener aire o tener gas/],
  ['swirl separator, on Round and at it', '/at/S1', null, /never alone/, /nunca solo/],
  ['lamps of a zone', '/at/Z1', null, /Lamps burn skin and eyes.*licensed/, /lámparas queman.*autorizado/],
  ['lamps, air and light', '/climate', null, /Lamps burn skin and eyes|No zone/, /lámparas queman|zona/],
  ['ultraviolet lamp', '/at/UV', null, /Lamps burn skin and eyes.*Power off at the board/s, /lámparas queman.*Corte la corriente/s],
  ['electricity beside water', '/at/PU', null, /Power off at the board.*licensed people/, /Corte la corriente.*autorizado/],
  ['drugs and withdrawal', '/farm/treatments/new', null, /law and a vet allow, with its withdrawal/, /veterinario, con su período de retiro/],
  ['food safety, packing', '/harvest', packSheet, /Clean hands, clean crates.*food law/, /Manos y cajas limpias.*ley de alimentos/],
  ['food safety, shipment', '/farm/shipments/new', null, /are not sold/, /No se venden/],
  ['species', '/farm/fish-lots/new', null, /permit decides/, /decide el permiso/],
  ['species, set up', '/farm/species/new', null, /permit decides/, /decide el permiso/],
  ['discharge of water', '/farm/water-moves/new', null, /discharge permit/, /permiso de descarga/],
  ['discharge of solids, at the unit', '/at/S1', null, /discharge permit/, /permiso de descarga/],
  ['spray on plants', '/farm/treatments/new', null, /kills fish/, /mata peces/],
  ['trouble: power, gas', '/trouble', null, /off at the board first.*Gas in closed spaces/s, /tablero eléctrico.*cerrado/s],
  ['paper', '/paper', null, /aerate first.*No power/, /airee primero.*Sin luz/],
];

for (const [language, at] of [['en', 3], ['es', 4]]) {
  test(`each_place_where_work_can_hurt_someone_says_so_${language}`, async (context) => {
    for (const [theme, hand] of [['light', 'right'], ['sun', 'left']]) { // all that a tablet can be set to
      const { page, context: c, open } = await browser.newTablet(service, { staff: ids.ines, language, theme, hand });
      context.after(() => c.close());
      for (const row of LIST.filter((r, i) => theme === 'light' || i % 4 === 0)) {
        const [what, path, lead] = row;
        await open(path);
        await page.locator('main *').first().waitFor();
        if (lead) await lead(page);
        let text = '';
        await eventually(async () => {
          text = await page.evaluate(() => document.querySelector('dialog[open]')?.innerText ?? document.querySelector('main').innerText);
          return row[at].test(text.replaceAll('\n', ' '));
        }, 8000).catch(() => assert.fail(`${what} (${path}, ${language}): ${text.slice(0, 600)}`));
        const caution = page.locator('.caution').first();
        if (await caution.count()) assert.ok(await caution.isVisible(), what);
      }
      assert.deepEqual(await axeFindings(page), []);
    }
  });
}

test('no_setting_turns_a_caution_off', async () => {
  const { kinds } = await service.get('/api/record');
  const settings = kinds.filter((k) => k.class === 'set_up').flatMap((k) => k.fields.map((f) => `${k.name}.${f.name}`));
  assert.deepEqual(settings.filter((name) => /caution|warn|hint|safety/.test(name)), ['chores.caution']); // a farm's own words, beside the built-in ones
});
