/*
 * The farm's day as the walk needs it: what is due at each place, what was done, what waits on this tablet.
 * The first half asks the service, the second is pure and turns answers into stops.
 */
import * as api from './api.js';
import { addDays, daysBetween, farmDay } from './format.js';
import { waiting } from './outbox.js';

const EARLY_MIN = 30; // a feeding is due so long before its time
const LATE_MIN = 45; // and late so long after it
const STALE_H = 12; // an older reading is no longer known
const CHORE_EARLY_MIN = 120; // a chore with an hour shows as due so long before it
const CHORE_DAYS = 40; // so far back chores done are looked for
const LOGGED = ['feedings', 'fish-deaths', 'water-tests', 'scoutings', 'solids', 'harvests', 'crop-losses', 'crop-lots', 'crop-moves'];

/* A report that this service does not have yet leaves its part of the walk empty. */
async function report(name) {
  try {
    return await api.get(`/api/reports/${name}`);
  } catch (fault) {
    if (fault.status === 404) return { rows: [] };
    throw fault;
  }
}

/** Asks for all that the walk shows.  Throws as api.js does. */
export async function loadDay() {
  const day = farmDay();
  const entries = (kind, from) => api.getAll(`/api/${kind}?from=${from}&to=${day}`);
  const [ration, stock, water, beds, choresDone, ...logged] = await Promise.all([
    report('ration'), report('stock'), report('water'), report('beds'),
    entries('chores-done', addDays(day, -CHORE_DAYS)), ...LOGGED.map((kind) => entries(kind, day)),
  ]);
  return {
    day, ration: ration.rows, stock: stock.rows, water: water.rows, beds: beds.rows, choresDone,
    logged: Object.fromEntries(LOGGED.map((kind, i) => [kind, logged[i]])),
  };
}

/** The entries of a kind with what waits on this tablet laid over them: each has `kept` when it is not sent yet. */
export function withWaiting(kind, entries) {
  const rows = waiting(kind);
  const struck = new Set(rows.filter((r) => r.op === 'strike').map((r) => r.key));
  const known = new Set(entries.map((e) => e.key));
  const made = rows.filter((r) => r.op === 'create' && !known.has(r.key))
    .map((r) => ({ ...r.fields, key: r.key, kept: r.state }));
  const filled = entries.map((e) => rows.filter((r) => r.op === 'patch' && r.key === e.key)
    .reduce((entry, r) => ({ ...entry, ...r.fields, kept: r.state }), e));
  return [...filled, ...made].filter((e) => !struck.has(e.key) && !e.struck_at);
}

/** Minutes since the farm's day began, of a clock "HH:MM". */
export function minutesOf(clock, dayBeginsHour) {
  const [h, m] = clock.split(':').map(Number);
  return (h * 60 + m - dayBeginsHour * 60 + 1440) % 1440;
}

/** late, due or later, for a time of the day against now; both in minutes since the day began. */
export function lateness(due, now) {
  if (now > due + LATE_MIN) return 'late';
  return now >= due - EARLY_MIN ? 'due' : 'later';
}

/* What is held, purged or stopped is not due, and so never late. */
function stateOfSlot(slot, now) {
  if (slot.fed) return 'done';
  return slot.factor === 0 ? 'held' : lateness(slot.minute, now);
}

/**
 * The feeding that a tank stands at: the last one whose time has come, else the next.  Earlier ones that nobody
 * gave are `missed`.  rows: the tank's of reports/ration, by time.  Null without rows.
 */
export function feedingNow(rows, fedSlots, now, dayBeginsHour) {
  if (!rows.length) return null;
  const slots = rows.map((r) => ({
    ...r, minute: minutesOf(r.due, dayBeginsHour), fed: fedSlots.get(r.slot) ?? null,
  })).sort((a, b) => a.minute - b.minute);
  const come = slots.filter((s) => lateness(s.minute, now) !== 'later');
  const current = come.at(-1) ?? slots[0];
  const next = slots.find((s) => lateness(s.minute, now) === 'later' && s !== current) ?? null;
  return {
    slots, current, next, state: stateOfSlot(current, now),
    missed: come.slice(0, -1).filter((s) => !s.fed),
  };
}

const isStale = (row, now) => !row || (now - new Date(row.at)) / 3600e3 > STALE_H;

/** A place's newest reading of a quantity, with `stale`; null when there is none. */
export function readingOf(water, code, quantity, now) {
  const row = water.find((r) => r.place === code && r.quantity === quantity && r.value !== null);
  return row ? { ...row, stale: isStale(row, now) } : null;
}

/** Why a chore is due today: {state, last}; null when it is not. */
export function choreNow(chore, done, day, now) {
  const mine = done.filter((d) => d.chore_id === chore.id);
  const last = mine.reduce((a, b) => (!a || (b.at ?? b.day) > (a.at ?? a.day) ? b : a), null);
  const lastDay = last && (last.day ?? farmDay(last.at));
  const doneToday = lastDay === day;
  const weekday = ['sun', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat'][new Date(`${day}T12:00:00Z`).getUTCDay()];
  let isDay = true; // after_uses cannot be counted here: it shows each day until done
  if (chore.every_days) isDay = doneToday || !lastDay || daysBetween(lastDay, day) >= chore.every_days;
  if (chore.weekdays?.length) isDay = chore.weekdays.includes(weekday);
  if (!isDay) return null;
  if (doneToday) return { state: 'done', last };
  if (chore.due_hour === undefined) return { state: 'due', last };
  const due = minutesOf(`${chore.due_hour}:00`, now.beginsHour);
  if (now.minutes > due + LATE_MIN) return { state: 'late', last };
  return { state: now.minutes >= due - CHORE_EARLY_MIN ? 'due' : 'later', last };
}

const sum = (rows, name) => rows.reduce((s, r) => s + (r[name] ?? 0), 0);
const WEIGHED = new Set(['weighed']);

/** What stands in a tank: {lots, fish, mean_weight_g, biomass_g, weighed, unknown, density}; null when it is empty. */
export function standing(stock, code) {
  const lots = stock.filter((r) => r.tank === code && (r.fish ?? 0) !== 0);
  if (!lots.length) return null;
  const fish = sum(lots, 'fish');
  const biomass = lots.some((r) => r.biomass_g === null || r.biomass_g === undefined) ? null : sum(lots, 'biomass_g');
  return {
    lots, fish, biomass_g: biomass, mean_weight_g: biomass === null || !fish ? null : biomass / fish,
    weighed: lots.every((r) => WEIGHED.has(r.basis)), density_kg_m3: lots.some((r) => r.density_kg_m3 == null) ? null : sum(lots, 'density_kg_m3'),
    unexplained: sum(lots, 'unexplained_fish'),
  };
}

/* At a stop limit, a hold or a purge there is no feeding by one press. */
const isHeldHere = (tankId) => {
  const rows = waiting('feeding-plans').filter((r) => r.fields.tank_id === tankId || r.op === 'strike');
  const struck = new Set(rows.filter((r) => r.op === 'strike').map((r) => r.key));
  return rows.some((r) => r.op === 'create' && r.fields.held_because && !struck.has(r.key));
};
const isStopped = (oxygen, current) => current?.factor === 0 || Boolean(current && oxygen && !oxygen.stale && oxygen.state === 'stop_low');

function tankStop({ kind, row }, data, now) {
  const feedings = withWaiting('feedings', data.logged.feedings).filter((e) => e.tank_id === row.id);
  const fedSlots = new Map(feedings.filter((e) => e.slot).map((e) => [e.slot, e]));
  const feeding = feedingNow(data.ration.filter((r) => r.tank === row.code), fedSlots, now.minutes, now.beginsHour);
  const oxygen = readingOf(data.water, row.code, 'do_mg_l', now.at);
  return {
    id: `tank-${row.code}`, sort: 'tank', kind, row, code: row.code, feeding, feedings,
    deaths: withWaiting('fish-deaths', data.logged['fish-deaths']).filter((e) => e.tank_id === row.id),
    stock: standing(data.stock, row.code), oxygen, temperature: readingOf(data.water, row.code, 'temperature_c', now.at),
    low: Boolean(oxygen && !oxygen.stale && ['low', 'stop_low'].includes(oxygen.state)),
    stop: isStopped(oxygen, feeding?.current) || isHeldHere(row.id),
    state: feeding?.state ?? 'none', due: feeding?.current.due,
  };
}

function choreStop(chore, placed, data, now) {
  const due = choreNow(chore, withWaiting('chores-done', data.choresDone), data.day, now);
  return due && {
    id: `chore-${chore.id}`, sort: 'chore', chore, row: placed?.row, kind: placed?.kind, code: placed?.row.code ?? '', state: due.state, last: due.last,
    due: chore.due_hour === undefined ? null : `${String(chore.due_hour).padStart(2, '0')}:00`,
  };
}

function bedStop({ kind, row }, data) {
  const lots = data.beds.filter((r) => r.bed === row.code);
  const ready = lots.filter((r) => r.ready_on && r.ready_on <= data.day && r.plants > 0);
  return ready.length ? { id: `bed-${row.code}`, sort: 'bed', kind, row, code: row.code, lots, ready, state: 'due', due: null } : null;
}

/**
 * All stops in walking order.  setup: {walk, chores, placeOf(id) -> {kind, row}}; now: {at, minutes, beginsHour}.
 * A stop: {id, sort: tank | chore | bed, code, row, state: late | due | later | done | held | none, due, ...}.
 */
export function stopsOf(data, setup, now) {
  const stops = [];
  const add = (stop) => stop && stops.push(stop);
  for (const chore of setup.chores.filter((c) => !c.place_id)) add(choreStop(chore, null, data, now));
  for (const placed of setup.walk) {
    if (placed.kind === 'tanks') add(tankStop(placed, data, now));
    if (placed.kind === 'beds') add(bedStop(placed, data));
    for (const chore of setup.chores.filter((c) => c.place_id === placed.row.id)) add(choreStop(chore, placed, data, now));
  }
  return stops;
}

const isBusy = (stop) => stop.state === 'late' || stop.state === 'due' || stop.low;
/** The code of the place to walk to after this one: the next with something to do, else the next; null at the end. */
export function nextPlace(stops, code) {
  const codes = stops.map((s) => s.code);
  const at = codes.lastIndexOf(code);
  const rest = [...stops.slice(at + 1), ...stops.slice(0, Math.max(0, codes.indexOf(code)))].filter((s) => s.code && s.code !== code);
  const busy = rest.find(isBusy);
  if (busy) return { code: busy.code, busy: true };
  const next = stops.slice(at + 1).find((s) => s.code && s.code !== code);
  return next ? { code: next.code, busy: false } : null;
}
