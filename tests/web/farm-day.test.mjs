/* The farm's day on the nights on which clocks change: minute by minute against its definition, and against the service. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { dayAt } from '../../web/js/farm-day.js';
import { setFarm, farmDay } from '../../web/js/format.js';
import { startService } from './support.mjs';

/* The nights of 2026 by the zones' own rules (IANA tz database).  Zones whose rules were changed lately are left out: browsers bring
 * a database of their own, which may be older than the service's. */
const NIGHTS = {
  'Europe/Madrid': ['2026-03-29', '2026-10-25'],
  'America/New_York': ['2026-03-08', '2026-11-01'],
  'Asia/Beirut': ['2026-03-29', '2026-10-25'], // forward from 00:00, back from 00:00 to 23:00 of the day before
  'Atlantic/Azores': ['2026-03-29', '2026-10-25'], // forward from 00:00, back to 00:00
  'Australia/Lord_Howe': ['2026-04-05', '2026-10-04'], // half an hour
  'Asia/Kathmandu': ['2026-03-29', '2026-10-25'], // never
};
const HOURS = [0, 1, 2, 3, 4, 6];

/* What the clock shows, "YYYY-MM-DD HH:MM". */
function shownIn(zone) {
  const format = new Intl.DateTimeFormat('sv-SE', { timeZone: zone, year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit' });
  return (ms) => format.format(ms);
}

test('a_day_begins_when_the_clock_first_shows_the_hour_in_every_zone', () => {
  let compared = 0;
  for (const [zone, nights] of Object.entries(NIGHTS)) {
    const shown = shownIn(zone);
    for (const night of nights) {
      const from = Date.parse(`${night}T00:00:00Z`) - 40 * 3600e3;
      const clocks = Array.from({ length: 80 * 60 }, (_, i) => shown(from + i * 60e3));
      for (const hour of HOURS) {
        let day = null; // the newest day that has begun, known from the first beginning on
        clocks.forEach((clock, i) => {
          const at = `${clock.slice(0, 10)} ${String(hour).padStart(2, '0')}:00`;
          if (clock >= at && (day === null ? i > 0 && clocks[i - 1] < at : clock.slice(0, 10) > day)) day = clock.slice(0, 10);
          if (day === null) return;
          const found = dayAt(from + i * 60e3, hour, zone);
          if (found !== day) assert.equal(found, day, `${zone} ${clock}, days from ${hour}`);
          compared += 1;
        });
      }
    }
  }
  assert.ok(compared > 200000, `${compared} minutes`);
});

let service;
before(async () => { service = await startService(); });
after(() => service.stop());

test('the_service_files_an_instant_under_the_day_that_the_screen_says', async () => {
  const loop = await service.post('/api/loops', { code: 'A', water_volume_l: 1000 });
  let version = (await service.get('/api/farm')).version;
  let compared = 0;
  for (const [zone, nights] of Object.entries(NIGHTS)) {
    for (const hour of [0, 2, 4]) {
      ({ version } = await service.patch('/api/farm', { time_zone: zone, day_begins_hour: hour }, version));
      setFarm({ time_zone: zone, day_begins_hour: hour });
      for (const night of nights) {
        const middle = Date.parse(`${night}T00:00:00Z`);
        const times = Array.from({ length: 13 }, (_, i) => new Date(middle + (i - 6) * 2.25 * 3600e3));
        const near = [-61, -31, -1, 0, 1, 31, 61].map((m) => new Date(middle - shiftOf(zone, middle) + (hour * 60 + m) * 60e3));
        for (const at of [...times, ...near]) {
          const entry = await service.post('/api/water-tests', { place_id: loop.id, ph: 7, at: `${at.toISOString().slice(0, 19)}Z`, queued: true });
          assert.equal(farmDay(at), entry.day, `${zone}, days from ${hour}, ${at.toISOString()}`);
          compared += 1;
        }
      }
    }
  }
  assert.ok(compared > 500);
});

/* ms east of UTC at an instant. */
function shiftOf(zone, ms) {
  return Date.parse(`${shownIn(zone)(ms).replace(' ', 'T')}:00Z`) - ms;
}
