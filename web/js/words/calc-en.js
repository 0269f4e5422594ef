/* English words of the calculators' screen alone.  The same keys as calc-es.js; loadPart('calc') adds them. */
/* Signs of the units, each with its name where the sign alone can be taken for another. */
const units = {
  g: 'g', kg: 'kg', t: 't, metric ton', oz: 'oz, ounce', lb: 'lb, pound', short_ton: 'short ton, 2,000 lb', l: 'L', m3: 'm³', us_qt: 'US qt, quart',
  us_gal: 'US gal, 3.785 L', imp_gal: 'imperial gal, 4.546 L', ft3: 'ft³', acre_ft: 'acre-foot', l_min: 'L/min', m3_h: 'm³/h',
  us_gal_min: 'US gal/min', cm: 'cm', m: 'm', in: 'in, inch', ft: 'ft, foot', m2: 'm²', ha: 'ha', ft2: 'ft²', acre: 'acre', deg_c: '°C', deg_f: '°F',
  hpa: 'hPa, mbar', kpa: 'kPa', bar: 'bar', atm: 'atm', psi: 'psi', mmhg: 'mmHg', inhg: 'inHg', kg_m3: 'kg/m³', lb_us_gal: 'lb/US gal',
  lb_ft3: 'lb/ft³', g_m2: 'g/m²', kg_m2: 'kg/m²', g_ft2: 'g/ft²', oz_ft2: 'oz/ft²', lb_ft2: 'lb/ft²', caco3_mg_l: 'mg/L as CaCO₃', meq_l: 'meq/L',
  german_degree: '°dH, German degree', hco3_mg_l: 'mg/L as HCO₃', grain_us_gal: 'grain/US gal', lux: 'lux', footcandle: 'foot-candle', w_m2: 'W/m²',
  mj_m2_day: 'MJ/m²/day', kj: 'kJ', kwh: 'kWh', btu: 'BTU',
};

export default {
  calc: {
    title: 'Calculators', what: 'Formulas of the trade with their source. Nothing is entered here.', all: 'All calculators', needed: 'needed',
    range: '{low} to {high}', range_unit: '{low} to {high} {unit}', usual: 'Left empty: {value}', usual_unit: 'Left empty: {value} {unit}', clear: 'Empty all fields', result: 'Result', still: 'Still needed: {fields}',
    caution: 'Caution', formula: 'Formula', source: 'Source', pick: 'Choose', none: 'no answer from these', away: 'The service does not answer: no result now.',
    no_gain: 'There is no gain, so there is no conversion.', number: '{field} must be a number, like 7.2.',
    topic: { water: 'Water', doses: 'Doses', fish: 'Fish and feed', crops: 'Crops, light and air', units: 'Units' },
    group: { mass: 'Mass', volume: 'Volume', flow: 'Flow', length: 'Length', area: 'Area', temperature: 'Temperature', pressure: 'Pressure', density: 'Density', mass_on_area: 'Mass on an area', alkalinity: 'Alkalinity and hardness', illuminance: 'Light to the eye', radiation: 'Radiation', energy: 'Energy' },
    name: {
      'weigh-enough': 'Weigh until enough',
      'unionized-ammonia': 'Un-ionized ammonia', 'oxygen-saturation': 'Oxygen saturation', 'carbon-dioxide': 'Carbon dioxide', 'alkalinity-dose': 'Base for alkalinity', 'chloride-dose': 'Salt against nitrite',
      'feed-load': 'What feed asks of the water', 'filter-capacity': 'Filter', 'ion-to-nitrogen': 'Kit reading as nitrogen', 'air-left': 'Minutes of air left', 'growth-rate': 'Growth rate', projection: 'Weight to come',
      'feed-conversion': 'Feed conversion', ration: 'Ration', density: 'Density', 'condition-factor': 'Condition factor', 'sample-size': 'Fish to weigh', 'feed-area': 'Feed and planted area', 'moist-air': 'Moist air', daylight: 'Daylight', 'light-integral': 'Light of a day', 'nutrient-dose': 'Nutrient dose', hardness: 'Hardness', 'light-meter': 'Light meter', units: 'Units',
    },
    said: {
      'weigh-enough': 'How near the mean is after each net, and how many fish more.',
      'unionized-ammonia': 'How much of the total ammonia is the poisonous part.', 'oxygen-saturation': 'How much oxygen the water can hold, and how full it is.', 'carbon-dioxide': 'Carbon dioxide from pH and alkalinity.',
      'alkalinity-dose': 'How much of a base raises alkalinity.', 'chloride-dose': 'How much salt keeps nitrite out of the blood of fish.', 'feed-load': 'Ammonia, oxygen, carbon dioxide, solids and alkalinity of a feed.',
      'filter-capacity': 'How much ammonia the media can take, and how full it is.', 'ion-to-nitrogen': 'What a kit that reads the ion means as nitrogen, or as phosphorus.', 'air-left': 'Until oxygen falls to its stop when nothing supplies any.',
      'growth-rate': 'How fast fish grew between two weights.', projection: 'What fish will weigh, or when they reach a weight.', 'feed-conversion': 'Feed over gain, with and without the dead.', ration: 'A day’s feed by the steps and limits of the species.',
      density: 'How crowded a tank is.', 'condition-factor': 'How plump a fish is for its length.', 'sample-size': 'For a mean that is near enough.', 'feed-area': 'Of feed, area and ratio: two give the third.', 'moist-air': 'Vapour pressure deficit, dew point, wet bulb.', daylight: 'The sun above the air, and the length of the day.', 'light-integral': 'Light of sun and lamps, and lamp hours to a target.',
      'nutrient-dose': 'How much fertilizer or chelate raises a nutrient, by its label.', hardness: 'As calcium carbonate, from calcium and magnesium.', 'light-meter': 'What lux, foot-candles or watts mean as light for plants.', units: 'A value of a scale, kit, label or book in another unit.',
    },
    cautions: {
      'weigh-enough': 'Only of fish taken as they come: a net takes the slow ones first.',
      'unionized-ammonia': 'A pH that is 0.1 off moves the answer by a quarter. Limits differ by species; ask a fish health professional when fish show signs.',
      'oxygen-saturation': 'Use the pressure at the station, not a weather report’s, which is brought to sea level. Above 110 % fish can take harm from gas.',
      'carbon-dioxide': 'A pH that is 0.1 off moves the answer by a quarter: read two digits at most. Degassing fills a closed room with carbon dioxide: air it first.',
      'alkalinity-dose': 'Follow the label and the safety sheet, and local rules. Dissolve and add in small parts, far from the fish, and measure between them. Hydroxides burn skin and eyes, and raise pH at once: when ammonia is high that can kill fish.',
      'chloride-dose': 'Follow the label and the safety sheet, and local rules. Dissolve and add in small parts, far from the fish, and measure between them. Sodium stays in the water, and lettuce bears little of it.',
      'feed-load': 'A day’s mean, of the fish alone: after a meal it is up to twice as much, and bacteria take oxygen too.',
      'filter-capacity': 'The rate is the guess: it falls in cold water, below pH 7 and with little oxygen, and a young filter has little. Below pH 6 it stalls.',
      'ion-to-nitrogen': 'Read on the kit which of the two it shows: nitrate as the ion is 4.4 times nitrate as nitrogen.',
      'air-left': 'Bacteria and feed in the water take oxygen too: there is less time than this. Electricity beside water: switch off before you reach in.',
      'growth-rate': 'Compare fish of one size only: small fish gain more percent a day.', projection: 'Fish that are fed less, sick or too warm fall behind it: weigh them.',
      'feed-conversion': 'Between two weighings it rests on counted and weighed fish; without gain there is none.', ration: 'What is not measured does not cut the ration: look at the fish.', density: 'What a tank can bear hangs on oxygen and flow, not on this figure alone.',
      'condition-factor': 'Compare within one species and one way of measuring length.', 'sample-size': 'Only of fish taken as they come: a net takes the slow ones first.', 'feed-area': 'The ratio is for planted rafts and a steady week, not for empty ones or one day.',
      'moist-air': 'A sensor in the sun, or dry after a week, reads the humidity wrong. A deficit below 0 at the leaf is dew on the leaf.',
      daylight: 'Above the air: under glass a crop gets some 40 to 50 % of it on a clear day. The day is geometry, some 0.2 h shorter than an almanac’s.', 'light-integral': 'Lamps are hot and on high voltage: licensed practice for what is mounted over water.',
      'nutrient-dose': 'Follow the label and the safety sheet, and local rules. Dissolve and add in small parts, far from the fish, and measure between them. Copper and zinc kill fish at fractions of a mg/L; what brings ammonium or urea is ammonia to them.',
      hardness: 'Hardness is not alkalinity: hard water can have little to hold its pH.', 'light-meter': 'Only of these sources: of LED lamps the maker alone knows the factor. Watts are those of 400 to 700 nm, not of the whole sun.', units: 'A gallon of the United States is 3.785 L, an imperial one 4.546 L: see which the label means before you dose.',
    },
  },
  field: {
    ionic_strength_mol_l: 'Ionic strength', fraction: 'Un-ionized share', nh3_n_mg_l: 'Un-ionized ammonia, as N', pressure_hpa: 'Air pressure at the place', saturation_mg_l: 'Oxygen at saturation', percent: 'Percent of saturation', form: 'Form', rise_mg_l: 'Rise wanted, as CaCO₃', material: 'Material', ratio: 'Chloride to nitrite', ratio_basis: 'Ratio counts nitrite as', sodium_mg_l: 'Sodium added',
    tan_per_protein: 'Ammonia nitrogen from protein', oxygen_per_feed: 'Oxygen for feed', solids_per_feed: 'Solids from feed', alkalinity_per_tan: 'Alkalinity for ammonia nitrogen', tan_g: 'Ammonia nitrogen', oxygen_g: 'Oxygen', co2_g: 'Carbon dioxide', solids_g: 'Solids', alkalinity_g: 'Alkalinity, as CaCO₃', rate_g_m2_day: 'Rate of the media', tan_g_day: 'Ammonia nitrogen', capacity_g_day: 'Capacity', load_pct: 'Load',
    value_mg_l: 'Reading of the kit', ion: 'Ion', as_element_mg_l: 'As nitrogen or phosphorus', stop_mg_l: 'Stop limit of oxygen', biomass_kg: 'Fish in the tank', uptake_mg_kg_h: 'Uptake of the fish', minutes: 'Minutes', weight1_g: 'First weight', weight2_g: 'Second weight', days: 'Days', degree_days: 'Degree-days', sgr_pct_day: 'Specific growth rate', gain_g_day: 'Daily gain', tgc: 'Thermal growth coefficient', to_weight_g: 'Weight to reach',
    start_g: 'Fish at the start', end_g: 'Fish at the end', removed_g: 'Taken out alive or harvested', added_g: 'Brought in', kg_m3: 'Density', length_cm: 'Length', k: 'Condition factor K', cv_pct: 'Spread of single weights (CV)', error_pct: 'Error that is allowed', confidence_pct: 'Confidence', z: 'Z', sample_fish: 'Fish to weigh', feed_g_day: 'Feed', ratio_g_m2_day: 'Feed on planted area',
    leaf_temperature_c: 'Temperature of the leaf', saturation_kpa: 'Vapour pressure, full', actual_kpa: 'Vapour pressure, actual', deficit_kpa: 'Vapour pressure deficit', dew_point_c: 'Dew point', humidity_ratio_kg_kg: 'Humidity ratio', wet_bulb_c: 'Wet bulb', day_of_year: 'Day of the year', ra_mj_m2_day: 'Radiation above the air', day_length_h: 'Length of the day', sun_mol_m2_day: 'Light of the sun', target_mol_m2_day: 'Target', lamp_hours: 'Lamp hours to the target', dli_mol_m2_day: 'Light of the day', ppfd: 'Light of the lamps', hours: 'Hours of lamps',
    element_rise_mg_l: 'Rise wanted, as the element', content_pct: 'Content on the label', counted_as: 'Label counts it as', element_g: 'Of it the element', reading: 'Reading of the meter', meter_unit: 'Meter shows', light_source: 'Light comes from', from_unit: 'From', to_unit: 'To', converted: 'Converted',
  },
  error: {
    other_quantity: 'These two do not measure the same thing.', below_lowest: 'Only a temperature may be below 0, and none below absolute zero.', no_such_wet_bulb: 'No air has these two: the wet bulb is above the air, or too far below it.',
  },
  choice: {
    from_unit: units, to_unit: units, counted_as: { element: 'the element (N, P, K, Fe …)', p2o5: 'P₂O₅, phosphate of labels', k2o: 'K₂O, potash of labels' }, meter_unit: { lux: 'lux', footcandle: 'foot-candles', w_m2: 'W/m² of 400 to 700 nm' },
    light_source: { sun_and_sky: 'sun and sky', blue_sky: 'blue sky alone, in shade', high_pressure_sodium: 'high-pressure sodium lamps', metal_halide: 'metal halide lamps', white_fluorescent: 'white fluorescent tubes', incandescent: 'incandescent bulbs' },
    form: { full: 'full', simple: 'simple: all is bicarbonate' }, ratio_basis: { nitrite_n: 'nitrogen', nitrite_ion: 'the nitrite ion' }, ion: { ammonium: 'ammonium', nitrite: 'nitrite', nitrate: 'nitrate', phosphate: 'phosphate' },
    material: {
      koh: 'Potassium hydroxide, KOH', naoh: 'Sodium hydroxide, NaOH', ca_oh_2: 'Calcium hydroxide, Ca(OH)₂', cao: 'Calcium oxide, CaO', khco3: 'Potassium bicarbonate, KHCO₃', nahco3: 'Sodium bicarbonate, NaHCO₃', k2co3: 'Potassium carbonate, K₂CO₃', na2co3: 'Sodium carbonate, Na₂CO₃', caco3: 'Calcium carbonate, CaCO₃', mg_oh_2: 'Magnesium hydroxide, Mg(OH)₂', mgco3: 'Magnesium carbonate, MgCO₃',
      nacl: 'Sodium chloride, NaCl', cacl2: 'Calcium chloride, CaCl₂', cacl2_2h2o: 'Calcium chloride dihydrate, CaCl₂·2H₂O', kcl: 'Potassium chloride, KCl', mgcl2_6h2o: 'Magnesium chloride hexahydrate, MgCl₂·6H₂O',
    },
  },
};
