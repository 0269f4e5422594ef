// Writes ten years of an invented farm as exchange CSV, for measuring: forty tanks fed three times a day and
// read once, lots that are stocked, weighed every fortnight, graded once and harvested after 24 weeks,
// weekly sowings of twenty varieties.  Usage: node make-decade.mjs DIR [years] [last day]
import { createWriteStream, mkdirSync } from 'node:fs';
import { join } from 'node:path';

const [dir, years = '10', lastDay] = process.argv.slice(2);
if (!dir) {
  console.error('usage: node make-decade.mjs DIR [years] [last day]');
  process.exit(2);
}
mkdirSync(dir, { recursive: true });

const DAY = 86400000;
const last = Date.parse(`${lastDay ?? new Date(Date.now() - 86400000).toISOString().slice(0, 10)}T00:00:00Z`);
const days = Math.round(Number(years) * 365.25);
const first = last - (days - 1) * DAY;
const dayText = (d) => new Date(first + d * DAY).toISOString().slice(0, 10);

// SplitMix-like: a fixed stream, so that two runs measure the same farm.
let state = 12345n;
function random() {
  state = (state * 6364136223846793005n + 1442695040888963407n) & 0xffffffffffffffffn;
  return Number(state >> 11n) / 9007199254740992;
}

function file(name, head) {
  const out = createWriteStream(join(dir, name));
  out.write(`${head}\n`);
  return { row: (...cells) => out.write(`${cells.join(',')}\n`), end: () => out.end() };
}

function setUp() {
  const one = (name, head, rows) => {
    const f = file(name, head);
    rows.forEach((r) => f.row(...r));
    f.end();
  };
  one('farm.csv', 'name,time_zone,day_begins_hour', [['Ten Year Sluice', 'Europe/Berlin', 4]]);
  one('loops.csv', 'code,water_volume_l', Array.from({ length: 4 }, (_, i) => [`W${i}`, 300000]));
  one('tanks.csv', 'code,loop,role,volume_l,density_limit_kg_m3,walk_order',
    Array.from({ length: TANKS }, (_, i) => [`T${i}`, `W${i % 4}`, 'growout', 10000, 60, i + 1]));
  one('species.csv', 'name,tgc_prior,tgc_prior_sd,temperature_optimum_c', [['Bream', 1.0, 0.1, 30]]);
  one('feeds.csv', 'name,protein_pct', [['Pellet 36', 36]]);
  one('ration-steps.csv', 'species,weight_from_g,pct_body_weight_day,source',
    [[10, 4], [100, 2.5], [300, 1.5], [600, 1]].map(([g, pct]) => ['Bream', g, pct, 'invented for measuring']));
  one('feeding-plans.csv', 'tank,from_day,feed,times',
    Array.from({ length: TANKS }, (_, i) => [`T${i}`, dayText(0), 'Pellet 36', '08:00 12:00 17:00']));
  one('crops.csv', 'name,cut', [['Lettuce', 'once']]);
  one('varieties.csv', 'name,crop,days_germination,days_nursery,days_raft,days_hold,head_weight_g',
    Array.from({ length: VARIETIES }, (_, i) => [`Variety ${i}`, 'Lettuce', 4, 14, 28, 5, 160]));
  one('beds.csv', 'code,loop,role,length_m,width_m,raft_length_m,raft_width_m,sites_per_raft', [
    ['G', 'W0', 'germination', 5, 2, '', '', ''], ['N', 'W0', 'nursery', 10, 2, '', '', ''],
    ...Array.from({ length: BEDS }, (_, i) => [`B${i}`, `W${i % 4}`, 'raft', 30, 2.4, 0.6, 1.2, 28])]);
}

const TANKS = 40, VARIETIES = 20, BEDS = 10, CYCLE = 24 * 7;

const f = {
  lots: file('fish-lots.csv', 'code,species'),
  moves: file('fish-moves.csv', 'at,fish_lot,from_tank,to_tank,fish,weight_g,reason'),
  deaths: file('fish-deaths.csv', 'at,tank,fish_lot,fish'),
  weighings: file('weighings.csv', 'at,tank,fish_lot,fish,weight_g'),
  feedings: file('feedings.csv', 'at,tank,feed,amount_g,slot,appetite'),
  tests: file('water-tests.csv', 'at,place,temperature_c,do_mg_l'),
  harvests: file('harvests.csv', 'code,day,fish_lot,tank,crop_lot,bed,pieces,weight_g,culled_pieces,empties'),
  cropLots: file('crop-lots.csv', 'code,day,variety,bed,cubes'),
  cropCounts: file('crop-counts.csv', 'day,bed,crop_lot,counted,method'),
  cropMoves: file('crop-moves.csv', 'day,crop_lot,from_bed,to_bed,plants,empties'),
  cropLosses: file('crop-losses.csv', 'day,crop_lot,bed,plants,cause'),
};

// Two tanks work together: the lot is stocked in the even one and, at week 12, the bigger third is graded
// into the odd one; both are harvested at week 24.
function fishPair(pair) {
  const tank = `T${2 * pair}`, other = `T${2 * pair + 1}`;
  const begin = (pair * 8) % CYCLE;
  let lot = 0, code = '', fish = 0, graded = 0, k = 1;
  const weight = (age) => (30 ** (1 / 3) + k / 1000 * 27 * age) ** 3;
  for (let d = begin; d < days; d++) {
    const age = (d - begin) % CYCLE;
    const at = (time) => `${dayText(d)}T${time}:00Z`;
    if (age === 0) {
      code = `F${pair}-${lot++}`;
      fish = 900;
      graded = 0;
      k = 1 + 0.1 * (random() - 0.5);
      f.lots.row(code, 'Bream');
      f.moves.row(at('09:00'), code, '', tank, fish, fish * 30, 'stocking');
    }
    const w = weight(age);
    if (age === 84) {
      graded = 300;
      fish -= graded;
      f.moves.row(at('10:00'), code, tank, other, graded, (graded * w * 1.15).toFixed(0), 'grading');
    }
    if (age === CYCLE - 1) {
      f.harvests.row(`HF${pair}-${lot}a`, dayText(d), code, tank, '', '', fish, (fish * w).toFixed(0), '', 1);
      f.harvests.row(`HF${pair}-${lot}b`, dayText(d), code, other, '', '', graded, (graded * w * 1.1).toFixed(0), '', 1);
      continue;
    }
    if (age > 0 && age % 14 === 0) {
      f.weighings.row(at('14:00'), tank, code, 40, (40 * w * (1 + 0.03 * (random() - 0.5))).toFixed(0));
      if (graded) f.weighings.row(at('14:30'), other, code, 40, (40 * w * 1.1 * (1 + 0.03 * (random() - 0.5))).toFixed(0));
    }
    if (random() < 0.2) {
      f.deaths.row(at('07:30'), tank, code, 1);
      fish -= 1;
    }
    const ration = fish * (weight(age + 1) - w) * 1.3;
    const rationOther = graded * 1.1 * (weight(age + 1) - w) * 1.3;
    [['08:00', 1], ['12:00', 2], ['17:00', 3]].forEach(([time, slot]) => {
      f.feedings.row(at(time), tank, 'Pellet 36', Math.max(1, Math.round(ration / 3)), slot, random() < 0.8 ? 'keen' : 'steady');
      f.feedings.row(at(time), other, 'Pellet 36', Math.max(1, Math.round(rationOther / 3)), slot, 'steady');
    });
    f.tests.row(at('07:00'), tank, (27 + random()).toFixed(1), (5.5 + random()).toFixed(1));
    f.tests.row(at('07:05'), other, (27 + random()).toFixed(1), (5.5 + random()).toFixed(1));
  }
}

function crops() {
  let n = 0;
  for (let d = 0; d < days; d += 7) {
    for (let v = 0; v < VARIETIES; v++) {
      const code = `C${n}`, bed = `B${n % BEDS}`;
      n++;
      f.cropLots.row(code, dayText(d), `Variety ${v}`, 'G', 200);
      if (d + 5 < days) f.cropCounts.row(dayText(d + 5), 'G', code, 190, 'germination');
      if (d + 6 < days) f.cropMoves.row(dayText(d + 6), code, 'G', 'N', 188, 1);
      if (d + 20 < days) f.cropMoves.row(dayText(d + 20), code, 'N', bed, 180, 1);
      if (d + 35 < days) f.cropLosses.row(dayText(d + 35), code, bed, 3, 'root_rot');
      if (d + 48 < days) f.harvests.row(`HC${n}`, dayText(d + 48), '', '', code, bed, 170, 27200, 5, 1);
    }
  }
}

setUp();
for (let pair = 0; pair < TANKS / 2; pair++) fishPair(pair);
crops();
Object.values(f).forEach((x) => x.end());
