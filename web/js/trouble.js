/*
 * What Trouble does: begins and ends the incident that all entries of the screen are logged under, and holds feeding by a plan of its own over each
 * tank's plan, so that striking it brings the old one back.  All of it goes through the outbox and works without the network.
 */
import * as api from './api.js';
import { farmDay } from './format.js';
import { complete, log, undo, waiting } from './outbox.js';
import { list } from './setup.js';
import { tablet } from './tablet.js';

const LOOK_BACK = 30; // incidents: the newest so many are looked through for one that is not over
const COPIED = ['feed_id', 'times', 'shares', 'fixed_pct', 'fixed_g'];

const nowText = () => `${new Date(Date.now() + (api.clockOffsetS() ?? 0) * 1000).toISOString().slice(0, 19)}Z`;

/** The incident that is not over, {key, id?, what, began_at}, on the service or still on this tablet; null when there is none. */
export async function openIncident() {
  let known = [];
  try {
    known = (await api.get(`/api/incidents?order=-at&limit=${LOOK_BACK}`)).items;
  } catch (fault) {
    if (!(fault instanceof api.AwayError)) throw fault;
  }
  const rows = waiting('incidents');
  const ended = new Set(rows.filter((r) => r.op === 'patch' && r.fields.ended_at).map((r) => r.key));
  const struck = new Set(rows.filter((r) => r.op === 'strike').map((r) => r.key));
  const here = rows.filter((r) => r.op === 'create').map((r) => ({ ...r.fields, key: r.key }));
  return [...here.reverse(), ...known].find((i) => !i.ended_at && !ended.has(i.key) && !struck.has(i.key)) ?? null;
}

/** Begins one; resolves to it. */
export async function beginIncident(what) {
  const fields = { what, began_at: nowText() };
  const staff = tablet().staff_id ? { staff_id: tablet().staff_id } : {};
  const { key } = await log('incidents', { ...fields, ...staff });
  return { ...fields, key };
}
/** Ends an incident now.  @param {{key: string}} incident @returns {Promise<void>} */
export const endIncident = (incident) => complete('incidents', incident.key, { ended_at: nowText() });

/* Plans of the set-up with those that wait on this tablet, newest first as the service takes them. */
function plansOf(tankId) {
  const rows = waiting('feeding-plans');
  const struck = new Set(rows.filter((r) => r.op === 'strike').map((r) => r.key));
  const here = rows.filter((r) => r.op === 'create').map((r) => ({ ...r.fields, key: r.key, id: Infinity }));
  return [...list('feeding-plans'), ...here].filter((p) => p.tank_id === tankId && p.from_day <= farmDay() && !struck.has(p.key))
    .sort((a, b) => (a.from_day === b.from_day ? b.id - a.id : b.from_day.localeCompare(a.from_day)));
}
const planOf = (tankId) => plansOf(tankId)[0] ?? null;

/** Tanks as {feeding: rows whose feeding goes on, held: rows whose feeding is held, keys: plans that a hold has laid over another}. */
export function holding() {
  const result = { feeding: [], held: [], keys: [] };
  for (const tank of list('tanks')) {
    const [plan, below] = plansOf(tank.id);
    if (!plan) continue;
    result[plan.held_because ? 'held' : 'feeding'].push(tank);
    if (plan.held_because && below && !below.held_because) result.keys.push(plan.key);
  }
  return result;
}

/** Holds feeding in all tanks; resolves to the keys of the plans that do. */
export async function holdAll(why) {
  const keys = [];
  for (const tank of holding().feeding) {
    const plan = planOf(tank.id);
    const fields = { tank_id: tank.id, from_day: farmDay(), held_because: why };
    for (const name of COPIED) if (plan[name] !== undefined) fields[name] = plan[name];
    const { key } = await log('feeding-plans', fields, { timed: false });
    keys.push(key);
  }
  return keys;
}
/** Takes holds back, so that the plans below them go on.  @param {string[]} keys of plans @param {string} why @returns {Promise<void>} */
export async function release(keys, why) {
  for (const key of keys) await undo('feeding-plans', key, why);
}
