// Writes readings of invented probes as exchange CSV in the order in which they would come, for measuring.
// Usage: node make-readings.mjs DIR [readings] [probes] [seconds between]
import { mkdirSync, openSync, closeSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';

const [dir, readings = '10000000', probes = '20', every = '600'] = process.argv.slice(2);
if (!dir) {
  console.error('usage: node make-readings.mjs DIR [readings] [probes] [seconds between]');
  process.exit(2);
}
const N = Number(probes), EVERY = Number(every), STEPS = Math.ceil(Number(readings) / N);
mkdirSync(dir, { recursive: true });
writeFileSync(join(dir, 'farm.csv'), 'name,time_zone,day_begins_hour\nTen Year Sluice,Europe/Berlin,4\n');
writeFileSync(join(dir, 'places.csv'), 'code\nHALL\n');
writeFileSync(join(dir, 'probes.csv'), `code,place,quantity,unit,silent_after_min\n${
  Array.from({ length: N }, (_, i) => `DO-${i},HALL,do_mg_l,mg/L,${Math.ceil(3 * EVERY / 60)}\n`).join('')}`);

let state = 7;
const random = () => { state = (Math.imul(state, 1103515245) + 12345) & 0x7fffffff; return state % 3000; };
const out = openSync(join(dir, 'readings.csv'), 'w');
const first = (Math.floor(Date.now() / 1000 / EVERY) - STEPS) * EVERY;
let text = 'probe,at,value\n';
for (let i = 0; i < STEPS; i++) {
  const at = `${new Date((first + i * EVERY) * 1000).toISOString().slice(0, 19)}Z`;
  for (let p = 0; p < N; p++) text += `DO-${p},${at},${(6 + random() / 1000).toFixed(2)}\n`;
  if (text.length > 1 << 20) {
    writeSync(out, text);
    text = '';
  }
}
writeSync(out, text);
closeSync(out);
