// Measures the program on ten years of an invented farm (make-decade.mjs): import, each report over all of it
// and over the usual spans, readings of probes, peak memory.  Prints a table; asserts nothing, since machines differ.
// Usage: node bench.mjs WEIRBOOK [years]   (make bench)
import { execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const [weirbook, years = '10'] = process.argv.slice(2);
if (!weirbook) {
  console.error('usage: node bench.mjs WEIRBOOK [years]');
  process.exit(2);
}
const here = dirname(fileURLToPath(import.meta.url));
const dir = mkdtempSync(join(tmpdir(), 'weirbook-bench-'));
const db = join(dir, 'farm.db');
const rows = [];
const row = (what, figure, target) => rows.push([what, figure, target]);
const ms = (t) => `${t.toFixed(1)} ms`;

/** The most memory a process has held, MiB. */
function peakMiB(pid) {
  const status = readFileSync(`/proc/${pid}/status`, 'utf8');
  return Number(/VmHWM:\s+(\d+)/.exec(status)[1]) / 1024;
}

/** Seconds of the processor that a process has used. */
function usedSeconds(pid) {
  const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1].split(' ');
  return (Number(fields[11]) + Number(fields[12])) / 100;
}

/** Imports a folder of CSV into file: seconds by the clock and of the processor, what it said last, the most
 * memory it held (MiB). */
async function importFolder(csv, file) {
  const start = performance.now();
  const child = spawn(weirbook, ['import', csv, '--db', file], { stdio: ['ignore', 'pipe', 'inherit'] });
  let peak = 0, used = 0, text = '';
  const watch = setInterval(() => {
    try {
      peak = Math.max(peak, peakMiB(child.pid));
      used = usedSeconds(child.pid);
    } catch { /* it has ended */ }
  }, 100);
  child.stdout.on('data', (d) => { text += d; });
  const code = await new Promise((done) => child.on('exit', done));
  clearInterval(watch);
  if (code !== 0) throw new Error('the import failed');
  return { seconds: (performance.now() - start) / 1000, used, said: text.trim().split('\n').pop(), peak };
}

async function importDecade() {
  const csv = join(dir, 'csv');
  execFileSync('node', [join(here, 'make-decade.mjs'), csv, years]);
  const { seconds, used, said, peak } = await importFolder(csv, db);
  row('import', `${seconds.toFixed(1)} s (${used.toFixed(1)} s of the processor), ${said}`, 'under 120 s');
  row('import, peak memory', `${peak.toFixed(0)} MiB`, '64 MiB');
  row('file', `${(statSync(db).size / 1048576).toFixed(0)} MiB`, '');
}

async function serve(file) {
  const child = spawn(weirbook, ['serve', '--db', file, '--listen', '127.0.0.1:0'], { stdio: ['ignore', 'pipe', 'inherit'] });
  const address = await new Promise((done) => child.stdout.on('data', (d) => {
    const found = /http:\/\/localhost:(\d+)/.exec(String(d));
    if (found) done(`http://127.0.0.1:${found[1]}`);
  }));
  return { child, address };
}

/** Median of several answers, milliseconds; each is asked anew (no If-None-Match). */
async function median(url, times) {
  const all = [];
  for (let i = 0; i < times; i++) {
    const start = performance.now();
    const answer = await fetch(url);
    await answer.arrayBuffer();
    if (!answer.ok) throw new Error(`${url}: ${answer.status}`);
    all.push(performance.now() - start);
  }
  return all.sort((a, b) => a - b)[all.length >> 1];
}

/** Median time until a feeding is on the disk, milliseconds; tanks and days in turn, one after the other. */
async function postFeedings(address, times) {
  const items = async (kind) => (await (await fetch(`${address}/api/${kind}?limit=100`)).json()).items;
  const [tanks, feeds] = [await items('tanks'), await items('feeds')];
  const all = [];
  for (let i = 0; i < times; i++) {
    const body = JSON.stringify({
      tank_id: tanks[i % tanks.length].id, feed_id: feeds[0].id, amount_g: 100 + i, confirm: true,
      at: `${new Date(Date.now() - (20 + 7 * i) * 60000).toISOString().slice(0, 19)}Z`,
    });
    const start = performance.now();
    const answer = await fetch(`${address}/api/feedings`, { method: 'POST', body, headers: { 'Content-Type': 'application/json', 'X-Weirbook': '1' } });
    await answer.arrayBuffer();
    if (answer.status !== 201) throw new Error(`POST: ${answer.status}`);
    all.push(performance.now() - start);
  }
  return all.sort((a, b) => a - b)[all.length >> 1];
}

const day = (back) => new Date(Date.now() - back * 86400000).toISOString().slice(0, 10);
const long = `from=${day(Number(years) * 366)}`;
const month = `from=${day(30)}&to=${day(1)}`;
const questions = [
  ['stock today', 'stock', '30 ms'],
  ['stock five years ago', `stock?day=${day(1826)}`, '300 ms'],
  ['conversion by tank since stocking', 'feed-conversion', '30 ms'],
  ['conversion by tank, 30 days', `feed-conversion?${month}`, '30 ms'],
  ['conversion by lot, 30 days', `feed-conversion?by=fish_lot&${month}`, '30 ms'],
  ['conversion of one tank by weighing', 'feed-conversion?step=weighing&only=T2', '30 ms'],
  ['conversion by tank, all years', `feed-conversion?${long}`, '300 ms'],
  ['conversion by tank and month, all years', `feed-conversion?step=month&${long}`, '300 ms'],
  ['conversion by lot, all years', `feed-conversion?by=fish_lot&${long}`, '300 ms'],
  ['harvest by day, 30 days', `harvest?by=day&${month}`, '30 ms'],
  ['harvest by week, all years', 'harvest?by=week', '300 ms'],
  ['harvest by month and variety, all years', 'harvest?by=month,variety', '300 ms'],
  ['beds today', 'beds', '30 ms'],
  ['beds five years ago', `beds?day=${day(1826)}`, '300 ms'],
  ['water now', 'water', '30 ms'],
  ['ration today', 'ration', '30 ms'],
];

/** Batches of 2,000 readings one after the other: readings a second that are on the disk. */
async function postReadings(address, type, body) {
  const batches = 20, many = 2000, start = performance.now();
  for (let i = 0; i < batches; i++) {
    const answer = await fetch(`${address}/api/readings`, { method: 'POST', body: body(i, many), headers: { 'Content-Type': type, 'X-Weirbook': '1' } });
    const { kept } = await answer.json();
    if (kept !== many) throw new Error(`POST readings: ${answer.status}, ${kept} kept`);
  }
  return `${Math.round(batches * many / (performance.now() - start) * 1000)} a second`;
}

/** Ten million readings of twenty probes, one every ten minutes, and the charts of one of them. */
async function readings() {
  const csv = join(dir, 'readings'), file = join(dir, 'readings.db'), many = 10000000;
  execFileSync('node', [join(here, 'make-readings.mjs'), csv, String(many)]);
  const { seconds, used, peak } = await importFolder(csv, file);
  row('readings, import of 10 million', `${Math.round(many / seconds)} a second, ${seconds.toFixed(1)} s (${used.toFixed(1)} s of the processor)`, '200000 a second');
  row('readings, import, peak memory', `${peak.toFixed(0)} MiB`, '64 MiB');
  row('readings, file', `${(statSync(file).size / 1048576).toFixed(0)} MiB, ${(statSync(file).size / many).toFixed(1)} B a reading with hours and days`, '');
  rmSync(csv, { recursive: true });
  const { child, address } = await serve(file);
  const chart = (query) => median(`${address}/api/readings?probe=DO-3&${query}`, 15);
  row('readings, a week of a probe', ms(await chart('')), '20 ms');
  row('readings, a year', ms(await chart(`from=${day(365)}`)), '');
  row('readings, ten years', ms(await chart(`from=${day(3660)}`)), '50 ms');
  row('readings, ten years by the day', ms(await chart(`from=${day(3660)}&step=day`)), '50 ms');
  // a second past each minute of the last hours: no other reading stands there
  const at = (i, k) => new Date((Math.floor(Date.now() / 60000) - 1 - i * 100 - Math.floor(k / 20)) * 60000 + 1000).toISOString();
  row('readings, posted as JSON', await postReadings(address, 'application/json', (i, n) => JSON.stringify({
    readings: Array.from({ length: n }, (_, k) => ({ probe: `DO-${k % 20}`, at: at(i, k), value: 7 + k / 1000 })) })), '');
  row('readings, posted as CSV', await postReadings(address, 'text/csv', (i, n) => `probe,at,value\n${
    Array.from({ length: n }, (_, k) => `DO-${k % 20},${at(i, k)},${6 + k / 1000}\n`).join('')}`), '');
  row('readings, service, peak memory', `${peakMiB(child.pid).toFixed(0)} MiB`, '64 MiB');
  child.kill('SIGTERM');
}

try {
  await importDecade();
  const { child, address } = await serve(db);
  for (const [what, path, target] of questions) row(what, ms(await median(`${address}/api/reports/${path}`, 7)), target);
  row('list of 1,000 feedings', ms(await median(`${address}/api/feedings?limit=1000`, 40)), '');
  row('a feeding kept (one hand)', ms(await postFeedings(address, 400)), '');
  row('service, peak memory', `${peakMiB(child.pid).toFixed(0)} MiB`, '64 MiB');
  child.kill('SIGTERM');
  await readings();
  const wide = Math.max(...rows.map((r) => r[0].length));
  const middle = Math.max(...rows.map((r) => r[1].length));
  for (const [what, figure, target] of rows) console.log(`${what.padEnd(wide)}  ${figure.padStart(middle)}  ${target}`);
} finally {
  rmSync(dir, { recursive: true, force: true });
}
