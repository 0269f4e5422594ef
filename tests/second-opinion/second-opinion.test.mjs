/*
 * Calculators against general-purpose libraries that others wrote, over a grid of each calculator's whole range: moist air and the
 * pressure of altitude against psychrolib (ASHRAE Fundamentals 2017), oxygen at saturation against gsw (TEOS-10).  Each tolerance
 * says why the two may differ at all.
 */
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { createRequire } from 'node:module';
import { after, before, test } from 'node:test';
import { startService } from './service.mjs';

const air = createRequire(import.meta.url)('psychrolib');
const ATMOSPHERE_KPA = 101.325;
let service;

before(async () => {
  air.SetUnitSystem(air.SI);
  service = await startService();
});
after(() => service?.stop());

/** low, low + step ... high, both included. */
function range(low, high, step) {
  const n = Math.round((high - low) / step);
  return Array.from({ length: n + 1 }, (_, i) => low + (high - low) * (i / n));
}

/** Every combination of the values of each name, as objects. */
function grid(values) {
  return Object.entries(values).reduce(
    (rows, [name, list]) => rows.flatMap((row) => list.map((value) => ({ ...row, [name]: value }))), [{}]);
}

/** Fails with the worst difference, in tolerances, when it is over one; returns it, so that a test can say that it was near. */
function hold(rows) {
  assert.ok(rows.length > 0, 'nothing was compared');
  const worst = rows.reduce((a, b) => (Math.abs(b.ours - b.theirs) / b.within > Math.abs(a.ours - a.theirs) / a.within ? b : a));
  for (const row of rows) assert.ok(Number.isFinite(row.ours) && Number.isFinite(row.theirs), `no number: ${JSON.stringify(row)}`);
  const share = Math.abs(worst.ours - worst.theirs) / worst.within;
  assert.ok(share <= 1, `off by ${share} tolerances: ${JSON.stringify(worst)}`);
  return share;
}

/* FAO-56 writes the vapour pressure with three constants (Tetens), ASHRAE with seven (Hyland and Wexler): 0.12 % apart at most
 * from 0 to 60 degC, at 45. */
const TETENS = 0.0012;
const pascal = (kpa) => kpa * 1000;
const theirVapour = (t) => air.GetSatVapPres(t) / 1000;

const TEMPERATURES = range(-20, 60, 4), HUMIDITIES = range(0, 100, 10), PRESSURES = [507, 800, 1013.25, 1114];

/** Our answers over the grid, each with its inputs. */
async function moistAir(values) {
  const inputs = grid(values);
  const answers = await service.askAll('moist-air', inputs);
  return inputs.map((given, i) => ({ ...given, ...answers[i] }));
}

test('vapour pressure from 0 degC on is that of psychrolib', async () => {
  const rows = (await moistAir({ temperature_c: range(0, 60, 1), humidity_pct: [0, 35, 100] }));
  hold(rows.map((r) => ({ ...r, ours: r.saturation_kpa, theirs: theirVapour(r.temperature_c), within: TETENS * theirVapour(r.temperature_c) })));
  hold(rows.map((r) => {
    const theirs = air.GetVapPresFromRelHum(r.temperature_c, r.humidity_pct / 100) / 1000;
    return { ...r, ours: r.actual_kpa, theirs, within: TETENS * theirs + 1e-12 };
  }));
});

/* Below 0 degC ours stays over water that has not frozen, as hygrometers are marked, and psychrolib goes over to ice.  Over ice it
 * is less by the heat of melting: Clausius and Clapeyron, ln(water/ice) = L/R (1/T - 1/273.16), L falling from 6,010 J/mol
 * by the 37 J/mol/K that water takes up more heat than ice: 1.219 at -20 degC.  Within 1 %: Tetens' own error there. */
test('vapour pressure below 0 degC is over water, and psychrolib over ice', async () => {
  const rows = await moistAir({ temperature_c: range(-20, -1, 1), humidity_pct: [100] });
  hold(rows.map((r) => {
    const t = r.temperature_c, melting = 6010 + 37 / 2 * t;
    const waterOverIce = Math.exp(melting / 8.314 * (1 / (t + 273.15) - 1 / 273.16));
    return { ...r, ours: r.saturation_kpa, theirs: theirVapour(t) * waterOverIce, within: 0.01 * r.saturation_kpa };
  }));
});

test('the deficit at the leaf is saturation at the leaf less what the air holds', async () => {
  const rows = (await moistAir({ temperature_c: range(0, 60, 10), humidity_pct: HUMIDITIES, leaf_temperature_c: range(0, 60, 10) }));
  hold(rows.map((r) => {
    const leaf = theirVapour(r.leaf_temperature_c), actual = air.GetVapPresFromRelHum(r.temperature_c, r.humidity_pct / 100) / 1000;
    return { ...r, ours: r.deficit_kpa, theirs: leaf - actual, within: TETENS * (leaf + actual) };
  }));
  const still = (await moistAir({ temperature_c: range(0, 60, 3), humidity_pct: HUMIDITIES }));
  hold(still.map((r) => {
    const theirs = air.GetVaporPressureDeficit(r.temperature_c, air.GetHumRatioFromRelHum(r.temperature_c, r.humidity_pct / 100, 101325), 101325) / 1000;
    return { ...r, ours: r.deficit_kpa, theirs, within: TETENS * theirVapour(r.temperature_c) };
  }));
});

/* 0.12 % of the vapour pressure is 0.024 degC at 45, where it is 5 % a degree; our saturation and its inverse are one formula. */
test('the dew point from 0 degC on is that of psychrolib', async () => {
  const rows = (await moistAir({ temperature_c: TEMPERATURES.filter((t) => t >= 0), humidity_pct: range(5, 100, 5) }));
  const above = rows.map((r) => ({ ...r, ours: r.dew_point_c, theirs: air.GetTDewPointFromRelHum(r.temperature_c, r.humidity_pct / 100), within: 0.025 }));
  hold(above.filter((r) => r.theirs >= 0.05));
  const frost = above.filter((r) => r.theirs < -0.05);
  assert.ok(frost.length > 5);
  for (const r of frost) { // dew before frost: supercooled water holds more vapour than ice, so that its dew comes later
    if (r.ours === null) assert.ok(r.actual_kpa < 0.1246, JSON.stringify(r));
    else assert.ok(r.ours < r.theirs && r.ours > 1.14 * r.theirs - 0.05, JSON.stringify(r));
  }
});

test('a dew point that is not known is of air drier than saturation at -20 degC, and of no other', async () => {
  for (const r of await moistAir({ temperature_c: TEMPERATURES, humidity_pct: range(0, 100, 4) }))
    assert.equal(r.dew_point_c === null, r.actual_kpa < 0.1246, JSON.stringify(r));
});

/* e / (P - e) makes more of an error in e when e is a large part of P. */
test('the humidity ratio is that of psychrolib at every pressure', async () => {
  const rows = (await moistAir({ temperature_c: range(0, 60, 4), humidity_pct: range(10, 100, 10), pressure_hpa: PRESSURES }));
  hold(rows.map((r) => {
    const kpa = r.pressure_hpa / 10, theirs = air.GetHumRatioFromRelHum(r.temperature_c, r.humidity_pct / 100, pascal(kpa));
    return { ...r, ours: r.humidity_ratio_kg_kg, theirs, within: theirs * TETENS * kpa / (kpa - r.actual_kpa) + 1e-9 };
  }));
});

/* The same equation (ASHRAE 33); psychrolib stops at 0.001 degC, and the two vapour pressures move it by some hundredths.  Where
 * psychrolib has ice on the sleeve from 0 to -1 degC, water there would still be above 0: not compared. */
test('the wet bulb is that of psychrolib wherever it is above freezing', async () => {
  const rows = (await moistAir({ temperature_c: range(0, 60, 4), humidity_pct: HUMIDITIES, pressure_hpa: PRESSURES }));
  const compared = rows.map((r) => ({ ...r, ours: r.wet_bulb_c, within: 0.02,
    theirs: air.GetTWetBulbFromRelHum(r.temperature_c, r.humidity_pct / 100, pascal(r.pressure_hpa / 10)) }));
  hold(compared.filter((r) => r.theirs > 0.05));
  const frozen = compared.filter((r) => r.theirs < -1);
  assert.ok(frozen.length > 5);
  for (const r of frozen) assert.equal(r.ours, null, JSON.stringify(r));
});

/* Both stand on the measurements of Benson and Krause (1984); they fitted their own formula, Garcia and Gordon (1992) another,
 * and gsw takes its density from TEOS-10: 0.003 mg/L apart at most, over all of 0 to 40 degC and 0 to 40 g/kg. */
test('oxygen at saturation is that of gsw', async () => {
  const rows = JSON.parse(execFileSync('/usr/bin/python3', [new URL('oxygen.py', import.meta.url).pathname]));
  assert.equal(rows.length, 41 * 21);
  const answers = await service.askAll('oxygen-saturation', rows.map(([t, s]) => ({ temperature_c: t, salinity_g_kg: s })));
  hold(rows.map(([t, s, theirs], i) => ({ t, s, ours: answers[i].saturation_mg_l, theirs, within: 0.003 })));
});

/* Pressure enters as what is left of it above the water's own vapour.  Benson and Krause also count that oxygen is no perfect
 * gas (theta), 0.05 % at half an atmosphere; psychrolib only gives the vapour. */
test('oxygen at other pressures is in proportion to the air without its vapour', async () => {
  const inputs = grid({ temperature_c: range(0, 40, 4), pressure_hpa: range(507, 1114, 607 / 12) });
  const answers = await service.askAll('oxygen-saturation', inputs);
  const full = await service.askAll('oxygen-saturation', inputs.map(({ temperature_c }) => ({ temperature_c })));
  hold(inputs.map(({ temperature_c: t, pressure_hpa: hpa }, i) => {
    const theirs = full[i].saturation_mg_l * (hpa / 10 - theirVapour(t)) / (ATMOSPHERE_KPA - theirVapour(t));
    return { t, hpa, ours: answers[i].saturation_mg_l, theirs, within: 0.0006 * theirs };
  }));
});

/* Both are the standard atmosphere of ICAO, to the last digit of its constants. */
test('altitude makes the pressure that psychrolib gives it', async () => {
  const inputs = grid({ temperature_c: [0, 25, 40], altitude_m: range(-500, 5400, 100) });
  const answers = await service.askAll('oxygen-saturation', inputs);
  const byPressure = await service.askAll('oxygen-saturation', inputs.map(({ temperature_c, altitude_m }) => (
    { temperature_c, pressure_hpa: air.GetStandardAtmPressure(altitude_m) / 100 })));
  hold(inputs.map((given, i) => ({ ...given, ours: answers[i].saturation_mg_l, theirs: byPressure[i].saturation_mg_l, within: 1e-6 })));
});
