/* Palabras en español de la pantalla de cálculos.  Las mismas claves que calc-en.js; loadPart('calc') las añade. */
/* Signos de las unidades, con su nombre donde el signo solo se presta a confusión. */
const units = {
  g: 'g', kg: 'kg', t: 't, tonelada', oz: 'oz, onza', lb: 'lb, libra', short_ton: 'tonelada corta, 2000 lb', l: 'L', m3: 'm³',
  us_qt: 'US qt, cuarto', us_gal: 'galón de EE. UU., 3,785 L', imp_gal: 'galón imperial, 4,546 L', ft3: 'ft³', acre_ft: 'acre-pie', l_min: 'L/min',
  m3_h: 'm³/h', us_gal_min: 'galones de EE. UU./min', cm: 'cm', m: 'm', in: 'in, pulgada', ft: 'ft, pie', m2: 'm²', ha: 'ha', ft2: 'ft²',
  acre: 'acre', deg_c: '°C', deg_f: '°F', hpa: 'hPa, mbar', kpa: 'kPa', bar: 'bar', atm: 'atm', psi: 'psi', mmhg: 'mmHg', inhg: 'inHg',
  kg_m3: 'kg/m³', lb_us_gal: 'lb/galón de EE. UU.', lb_ft3: 'lb/ft³', g_m2: 'g/m²', kg_m2: 'kg/m²', g_ft2: 'g/ft²', oz_ft2: 'oz/ft²',
  lb_ft2: 'lb/ft²', caco3_mg_l: 'mg/L como CaCO₃', meq_l: 'meq/L', german_degree: '°dH, grado alemán', hco3_mg_l: 'mg/L como HCO₃',
  grain_us_gal: 'grano/galón de EE. UU.', lux: 'lux', footcandle: 'pie-candela', w_m2: 'W/m²', mj_m2_day: 'MJ/m²/día', kj: 'kJ', kwh: 'kWh',
  btu: 'BTU',
};

export default {
  calc: {
    title: 'Cálculos', what: 'Fórmulas del oficio con su fuente. Aquí no se anota nada.', all: 'Todos los cálculos', needed: 'necesario',
    range: 'de {low} a {high}', range_unit: 'de {low} a {high} {unit}', usual: 'Si queda vacío: {value}', usual_unit: 'Si queda vacío: {value} {unit}', clear: 'Vaciar todos los campos', result: 'Resultado', still: 'Falta todavía: {fields}',
    caution: 'Cuidado', formula: 'Fórmula', source: 'Fuente', pick: 'Elegir', none: 'estos datos no dan respuesta', away: 'El servicio no responde: no hay resultado por ahora.',
    no_gain: 'No hay ganancia, así que no hay conversión.', number: '{field} debe ser un número, como 7,2.',
    topic: { water: 'Agua', doses: 'Dosis', fish: 'Peces y alimento', crops: 'Cultivos, luz y aire', units: 'Unidades' },
    group: { mass: 'Masa', volume: 'Volumen', flow: 'Caudal', length: 'Longitud', area: 'Superficie', temperature: 'Temperatura', pressure: 'Presión', density: 'Densidad', mass_on_area: 'Masa por superficie', alkalinity: 'Alcalinidad y dureza', illuminance: 'Luz para el ojo', radiation: 'Radiación', energy: 'Energía' },
    name: {
      'weigh-enough': 'Pesar hasta que baste',
      'unionized-ammonia': 'Amoníaco no ionizado', 'oxygen-saturation': 'Saturación de oxígeno', 'carbon-dioxide': 'Dióxido de carbono', 'alkalinity-dose': 'Base para la alcalinidad', 'chloride-dose': 'Sal contra el nitrito',
      'feed-load': 'Lo que el alimento pide al agua', 'filter-capacity': 'Filtro', 'ion-to-nitrogen': 'Lectura del kit como nitrógeno', 'air-left': 'Minutos de aire que quedan', 'growth-rate': 'Tasa de crecimiento', projection: 'Peso que vendrá',
      'feed-conversion': 'Conversión alimenticia', ration: 'Ración', density: 'Densidad', 'condition-factor': 'Factor de condición', 'sample-size': 'Peces que pesar', 'feed-area': 'Alimento y superficie plantada', 'moist-air': 'Aire húmedo', daylight: 'Luz del día', 'light-integral': 'Luz de un día', 'nutrient-dose': 'Dosis de nutriente', hardness: 'Dureza', 'light-meter': 'Medidor de luz', units: 'Unidades',
    },
    said: {
      'weigh-enough': 'Cuánto se acerca la media tras cada red, y cuántos peces más.',
      'unionized-ammonia': 'Qué parte del amonio total es la venenosa.', 'oxygen-saturation': 'Cuánto oxígeno cabe en el agua y qué tan llena está.', 'carbon-dioxide': 'Dióxido de carbono según pH y alcalinidad.',
      'alkalinity-dose': 'Cuánta base sube la alcalinidad.', 'chloride-dose': 'Cuánta sal impide que el nitrito entre en la sangre de los peces.', 'feed-load': 'Amonio, oxígeno, dióxido de carbono, sólidos y alcalinidad de un alimento.',
      'filter-capacity': 'Cuánto amonio toma el medio y qué tan cargado está.', 'ion-to-nitrogen': 'Lo que un kit que lee el ion quiere decir como nitrógeno o fósforo.', 'air-left': 'Hasta que el oxígeno cae a su tope sin aporte alguno.',
      'growth-rate': 'Con qué rapidez crecieron los peces entre dos pesos.', projection: 'Cuánto pesarán los peces, o cuándo llegan a un peso.', 'feed-conversion': 'Alimento por ganancia, con los muertos y sin ellos.', ration: 'El alimento de un día según la tabla y los límites de la especie.',
      density: 'Qué tan lleno está un tanque.', 'condition-factor': 'Qué tan gordo está un pez para su largo.', 'sample-size': 'Para una media bastante cercana.', 'feed-area': 'De alimento, superficie y proporción: dos dan la tercera.', 'moist-air': 'Déficit de presión de vapor, punto de rocío, bulbo húmedo.', daylight: 'El sol por encima del aire y la duración del día.', 'light-integral': 'Luz del sol y de lámparas, y horas de lámpara hasta la meta.',
      'nutrient-dose': 'Cuánto fertilizante o quelato sube un nutriente, según su etiqueta.', hardness: 'Como carbonato de calcio, según calcio y magnesio.', 'light-meter': 'Lo que lux, pies-candela o vatios son como luz para plantas.', units: 'Un valor de báscula, kit, etiqueta o libro en otra unidad.',
    },
    cautions: {
      'weigh-enough': 'Solo con peces tomados al azar: una red atrapa primero a los lentos.',
      'unionized-ammonia': 'Un pH errado en 0,1 mueve la respuesta una cuarta parte. Los límites cambian con la especie; si los peces muestran señales, pregunte a un profesional de sanidad de peces.',
      'oxygen-saturation': 'Use la presión del lugar, no la del parte meteorológico, que está llevada al nivel del mar. Por encima de 110 % el gas puede dañar a los peces.',
      'carbon-dioxide': 'Un pH errado en 0,1 mueve la respuesta una cuarta parte: lea dos cifras como mucho. La desgasificación llena de dióxido de carbono un cuarto cerrado: ventile antes.',
      'alkalinity-dose': 'Siga la etiqueta, la hoja de seguridad y las reglas locales. Disuelva y añada en partes pequeñas, lejos de los peces, y mida entre ellas. Los hidróxidos queman piel y ojos y suben el pH al instante: con mucho amonio eso puede matar a los peces.',
      'chloride-dose': 'Siga la etiqueta, la hoja de seguridad y las reglas locales. Disuelva y añada en partes pequeñas, lejos de los peces, y mida entre ellas. El sodio se queda en el agua, y la lechuga soporta poco.',
      'feed-load': 'Media de un día, solo de los peces: después de comer es hasta el doble, y las bacterias también toman oxígeno.',
      'filter-capacity': 'La tasa es la conjetura: cae en agua fría, por debajo de pH 7 y con poco oxígeno, y un filtro joven tiene poca. Por debajo de pH 6 se para.',
      'ion-to-nitrogen': 'Lea en el kit cuál de los dos muestra: el nitrato como ion es 4,4 veces el nitrato como nitrógeno.',
      'air-left': 'Las bacterias y el alimento en el agua también toman oxígeno: hay menos tiempo que este. Electricidad junto al agua: apague antes de meter la mano.',
      'growth-rate': 'Compare solo peces de un mismo tamaño: los pequeños ganan más por ciento al día.', projection: 'Los peces con menos alimento, enfermos o con demasiado calor se quedan atrás: péselos.',
      'feed-conversion': 'Entre dos pesadas descansa en peces contados y pesados; sin ganancia no la hay.', ration: 'Lo que no se mide no recorta la ración: mire los peces.', density: 'Lo que un tanque aguanta depende del oxígeno y del caudal, no solo de esta cifra.',
      'condition-factor': 'Compare dentro de una especie y con una sola manera de medir el largo.', 'sample-size': 'Solo con peces tomados al azar: una red atrapa primero a los lentos.', 'feed-area': 'La proporción vale para balsas plantadas y una semana estable, no para balsas vacías ni un solo día.',
      'moist-air': 'Un sensor al sol, o seco después de una semana, lee mal la humedad. Un déficit menor que 0 en la hoja es rocío en la hoja.',
      daylight: 'Por encima del aire: bajo vidrio un cultivo recibe del 40 al 50 % en un día claro. El día es geometría, unas 0,2 h más corto que el del almanaque.', 'light-integral': 'Las lámparas están calientes y a alta tensión: lo que cuelga sobre agua es trabajo de un electricista autorizado.',
      'nutrient-dose': 'Siga la etiqueta, la hoja de seguridad y las reglas locales. Disuelva y añada en partes pequeñas, lejos de los peces, y mida entre ellas. El cobre y el zinc matan peces con fracciones de mg/L; lo que trae amonio o urea es amoníaco para ellos.',
      hardness: 'La dureza no es alcalinidad: un agua dura puede tener poco que sostenga su pH.', 'light-meter': 'Solo para estas fuentes: de las lámparas LED el factor lo sabe únicamente el fabricante. Los vatios son los de 400 a 700 nm, no los de todo el sol.', units: 'Un galón de EE. UU. son 3,785 L y uno imperial 4,546 L: mire cuál dice la etiqueta antes de dosificar.',
    },
  },
  field: {
    ionic_strength_mol_l: 'Fuerza iónica', fraction: 'Parte no ionizada', nh3_n_mg_l: 'Amoníaco no ionizado, como N', pressure_hpa: 'Presión del aire en el lugar', saturation_mg_l: 'Oxígeno en saturación', percent: 'Por ciento de saturación', form: 'Forma', rise_mg_l: 'Subida deseada, como CaCO₃', material: 'Insumo', ratio: 'Cloruro por nitrito', ratio_basis: 'La proporción cuenta el nitrito como', sodium_mg_l: 'Sodio añadido',
    tan_per_protein: 'Nitrógeno amoniacal de la proteína', oxygen_per_feed: 'Oxígeno por alimento', solids_per_feed: 'Sólidos del alimento', alkalinity_per_tan: 'Alcalinidad por nitrógeno amoniacal', tan_g: 'Nitrógeno amoniacal', oxygen_g: 'Oxígeno', co2_g: 'Dióxido de carbono', solids_g: 'Sólidos', alkalinity_g: 'Alcalinidad, como CaCO₃', rate_g_m2_day: 'Tasa del medio', tan_g_day: 'Nitrógeno amoniacal', capacity_g_day: 'Capacidad', load_pct: 'Carga',
    value_mg_l: 'Lectura del kit', ion: 'Ion', as_element_mg_l: 'Como nitrógeno o fósforo', stop_mg_l: 'Tope de oxígeno', biomass_kg: 'Peces en el tanque', uptake_mg_kg_h: 'Consumo de los peces', minutes: 'Minutos', weight1_g: 'Primer peso', weight2_g: 'Segundo peso', days: 'Días', degree_days: 'Grados día', sgr_pct_day: 'Tasa específica de crecimiento', gain_g_day: 'Ganancia diaria', tgc: 'Coeficiente térmico de crecimiento', to_weight_g: 'Peso que alcanzar',
    start_g: 'Peces al principio', end_g: 'Peces al final', removed_g: 'Sacado vivo o cosechado', added_g: 'Traído', kg_m3: 'Densidad', length_cm: 'Largo', k: 'Factor de condición K', cv_pct: 'Dispersión de los pesos (CV)', error_pct: 'Error permitido', confidence_pct: 'Confianza', z: 'Z', sample_fish: 'Peces que pesar', feed_g_day: 'Alimento', ratio_g_m2_day: 'Alimento por superficie plantada',
    leaf_temperature_c: 'Temperatura de la hoja', saturation_kpa: 'Presión de vapor, llena', actual_kpa: 'Presión de vapor, actual', deficit_kpa: 'Déficit de presión de vapor', dew_point_c: 'Punto de rocío', humidity_ratio_kg_kg: 'Razón de humedad', wet_bulb_c: 'Bulbo húmedo', day_of_year: 'Día del año', ra_mj_m2_day: 'Radiación por encima del aire', day_length_h: 'Duración del día', sun_mol_m2_day: 'Luz del sol', target_mol_m2_day: 'Meta', lamp_hours: 'Horas de lámpara hasta la meta', dli_mol_m2_day: 'Luz del día', ppfd: 'Luz de las lámparas', hours: 'Horas de lámparas',
    element_rise_mg_l: 'Subida deseada, como elemento', content_pct: 'Contenido según la etiqueta', counted_as: 'La etiqueta lo cuenta como', element_g: 'De ello, el elemento', reading: 'Lectura del medidor', meter_unit: 'El medidor muestra', light_source: 'La luz viene de', from_unit: 'De', to_unit: 'A', converted: 'Convertido',
  },
  error: {
    other_quantity: 'Estas dos unidades no miden lo mismo.', below_lowest: 'Solo una temperatura puede ser menor que 0, y ninguna menor que el cero absoluto.', no_such_wet_bulb: 'Ningún aire tiene estos dos valores: el bulbo húmedo está por encima del aire, o demasiado por debajo.',
  },
  choice: {
    from_unit: units, to_unit: units, counted_as: { element: 'el elemento (N, P, K, Fe …)', p2o5: 'P₂O₅, fosfato de etiqueta', k2o: 'K₂O, potasa de etiqueta' }, meter_unit: { lux: 'lux', footcandle: 'pies-candela', w_m2: 'W/m² de 400 a 700 nm' },
    light_source: { sun_and_sky: 'sol y cielo', blue_sky: 'solo cielo azul, a la sombra', high_pressure_sodium: 'lámparas de sodio de alta presión', metal_halide: 'lámparas de haluro metálico', white_fluorescent: 'tubos fluorescentes blancos', incandescent: 'bombillas incandescentes' },
    form: { full: 'completa', simple: 'simple: todo es bicarbonato' }, ratio_basis: { nitrite_n: 'nitrógeno', nitrite_ion: 'el ion nitrito' }, ion: { ammonium: 'amonio', nitrite: 'nitrito', nitrate: 'nitrato', phosphate: 'fosfato' },
    material: {
      koh: 'Hidróxido de potasio, KOH', naoh: 'Hidróxido de sodio, NaOH', ca_oh_2: 'Hidróxido de calcio, Ca(OH)₂', cao: 'Óxido de calcio, CaO', khco3: 'Bicarbonato de potasio, KHCO₃', nahco3: 'Bicarbonato de sodio, NaHCO₃', k2co3: 'Carbonato de potasio, K₂CO₃', na2co3: 'Carbonato de sodio, Na₂CO₃', caco3: 'Carbonato de calcio, CaCO₃', mg_oh_2: 'Hidróxido de magnesio, Mg(OH)₂', mgco3: 'Carbonato de magnesio, MgCO₃',
      nacl: 'Cloruro de sodio, NaCl', cacl2: 'Cloruro de calcio, CaCl₂', cacl2_2h2o: 'Cloruro de calcio dihidratado, CaCl₂·2H₂O', kcl: 'Cloruro de potasio, KCl', mgcl2_6h2o: 'Cloruro de magnesio hexahidratado, MgCl₂·6H₂O',
    },
  },
};
