/* Palabras en español de la pantalla de cálculos.  Las mismas claves que calc-en.js; loadPart('calc') las añade. */
export default {
  calc: {
    title: 'Cálculos', what: 'Fórmulas del oficio con su fuente. Aquí no se anota nada.', all: 'Todos los cálculos', open: 'Abrir', needed: 'necesario',
    range: 'de {low} a {high}', range_unit: 'de {low} a {high} {unit}', usual: 'Si queda vacío: {value}', usual_unit: 'Si queda vacío: {value} {unit}', clear: 'Vaciar todos los campos', result: 'Resultado', still: 'Falta todavía: {fields}',
    caution: 'Cuidado', formula: 'Fórmula', source: 'Fuente', pick: 'Elegir', none: 'estos datos no dan respuesta', away: 'El servicio no responde: no hay resultado por ahora.',
    no_gain: 'No hay ganancia, así que no hay conversión.', number: '{field} debe ser un número, como 7,2.',
    name: {
      'weigh-enough': 'Pesar hasta que baste',
      'unionized-ammonia': 'Amoníaco no ionizado', 'oxygen-saturation': 'Saturación de oxígeno', 'carbon-dioxide': 'Dióxido de carbono', 'alkalinity-dose': 'Base para la alcalinidad', 'chloride-dose': 'Sal contra el nitrito',
      'feed-load': 'Lo que el alimento pide al agua', 'filter-capacity': 'Filtro', 'ion-to-nitrogen': 'Lectura del kit como nitrógeno', 'air-left': 'Minutos de aire que quedan', 'growth-rate': 'Tasa de crecimiento', projection: 'Peso que vendrá',
      'feed-conversion': 'Conversión del alimento', ration: 'Ración', density: 'Densidad', 'condition-factor': 'Factor de condición', 'sample-size': 'Peces que pesar', 'feed-area': 'Alimento y superficie plantada', 'moist-air': 'Aire húmedo', daylight: 'Luz del día', 'light-integral': 'Luz de un día',
    },
    said: {
      'weigh-enough': 'Cuánto se acerca la media tras cada red, y cuántos peces más.',
      'unionized-ammonia': 'Qué parte del amonio total es la venenosa.', 'oxygen-saturation': 'Cuánto oxígeno cabe en el agua y qué tan llena está.', 'carbon-dioxide': 'Dióxido de carbono según pH y alcalinidad.',
      'alkalinity-dose': 'Cuánta base sube la alcalinidad.', 'chloride-dose': 'Cuánta sal impide que el nitrito entre en la sangre de los peces.', 'feed-load': 'Amonio, oxígeno, dióxido de carbono, sólidos y alcalinidad de un alimento.',
      'filter-capacity': 'Cuánto amonio toma el relleno y qué tan cargado está.', 'ion-to-nitrogen': 'Lo que un kit que lee el ion quiere decir como nitrógeno o fósforo.', 'air-left': 'Hasta que el oxígeno cae a su tope sin aporte alguno.',
      'growth-rate': 'Con qué rapidez crecieron los peces entre dos pesos.', projection: 'Cuánto pesarán los peces, o cuándo llegan a un peso.', 'feed-conversion': 'Alimento por ganancia, con los muertos y sin ellos.', ration: 'El alimento de un día según los pasos y límites de la especie.',
      density: 'Qué tan lleno está un tanque.', 'condition-factor': 'Qué tan gordo está un pez para su largo.', 'sample-size': 'Para una media bastante cercana.', 'feed-area': 'De alimento, superficie y proporción: dos dan la tercera.', 'moist-air': 'Déficit de presión de vapor, punto de rocío, bulbo húmedo.', daylight: 'El sol por encima del aire y la duración del día.', 'light-integral': 'Luz del sol y de lámparas, y horas de lámpara hasta la meta.',
    },
    cautions: {
      'weigh-enough': 'Solo con peces tomados al azar: la red coge primero a los lentos.',
      'unionized-ammonia': 'Un pH errado en 0,1 mueve la respuesta una cuarta parte. Los límites cambian con la especie; si los peces muestran señales, pregunte a un profesional de sanidad de peces.',
      'oxygen-saturation': 'Use la presión del lugar, no la del parte meteorológico, que está llevada al nivel del mar.',
      'carbon-dioxide': 'Un pH errado en 0,1 mueve la respuesta una cuarta parte: lea dos cifras como mucho. La desgasificación llena de dióxido de carbono un cuarto cerrado: ventile antes.',
      'alkalinity-dose': 'Siga la etiqueta, la hoja de seguridad y las reglas locales. Disuelva y añada en partes pequeñas, lejos de los peces, y mida entre ellas. Los hidróxidos queman piel y ojos y suben el pH al instante: con mucho amonio eso puede matar a los peces.',
      'chloride-dose': 'Siga la etiqueta, la hoja de seguridad y las reglas locales. Disuelva y añada en partes pequeñas, lejos de los peces, y mida entre ellas. El sodio se queda en el agua, y la lechuga soporta poco.',
      'feed-load': 'Media de un día, solo de los peces: después de comer es hasta el doble, y las bacterias también toman oxígeno.',
      'filter-capacity': 'La tasa es la conjetura: cae en agua fría, por debajo de pH 7 y con poco oxígeno, y un filtro joven tiene poca. Por debajo de pH 6 se para.',
      'ion-to-nitrogen': 'Lea en el kit cuál de los dos muestra: el nitrato como ion es 4,4 veces el nitrato como nitrógeno.',
      'air-left': 'Las bacterias y el alimento en el agua también toman oxígeno: hay menos tiempo que este. Electricidad junto al agua: apague antes de meter la mano.',
      'growth-rate': 'Compare solo peces de un mismo tamaño: los pequeños ganan más por ciento al día.', projection: 'Los peces con menos alimento, enfermos o con demasiado calor se quedan atrás: péselos.',
      'feed-conversion': 'Entre dos pesadas descansa en peces contados y pesados; sin ganancia no la hay.', ration: 'Lo que no se mide no recorta la ración: mire los peces.', density: 'Lo que un tanque aguanta depende del oxígeno y del caudal, no solo de esta cifra.',
      'condition-factor': 'Compare dentro de una especie y con una sola manera de medir el largo.', 'sample-size': 'Solo con peces tomados al azar: una red coge primero a los lentos.', 'feed-area': 'La proporción vale para balsas plantadas y una semana estable, no para balsas vacías ni un solo día.',
      'moist-air': 'Un sensor al sol, o seco después de una semana, lee mal la humedad. Un déficit menor que 0 en la hoja es rocío en la hoja.',
      daylight: 'Por encima del aire: bajo vidrio un cultivo recibe del 40 al 50 % en un día claro. El día es geometría, unas 0,2 h más corto que el del almanaque.', 'light-integral': 'Las lámparas están calientes y a alta tensión: lo que cuelga sobre agua es trabajo de un electricista autorizado.',
    },
  },
  field: {
    ionic_strength_mol_l: 'Fuerza iónica', fraction: 'Parte no ionizada', nh3_n_mg_l: 'Amoníaco no ionizado, como N', pressure_hpa: 'Presión del aire en el lugar', saturation_mg_l: 'Oxígeno en saturación', percent: 'Por ciento de saturación', form: 'Forma', rise_mg_l: 'Subida deseada, como CaCO₃', material: 'Material', ratio: 'Cloruro por nitrito', ratio_basis: 'La proporción cuenta el nitrito como', sodium_mg_l: 'Sodio añadido',
    tan_per_protein: 'Nitrógeno amoniacal de la proteína', oxygen_per_feed: 'Oxígeno por alimento', solids_per_feed: 'Sólidos del alimento', alkalinity_per_tan: 'Alcalinidad por nitrógeno amoniacal', tan_g: 'Nitrógeno amoniacal', oxygen_g: 'Oxígeno', co2_g: 'Dióxido de carbono', solids_g: 'Sólidos', alkalinity_g: 'Alcalinidad, como CaCO₃', rate_g_m2_day: 'Tasa del relleno', tan_g_day: 'Nitrógeno amoniacal', capacity_g_day: 'Capacidad', load_pct: 'Carga',
    value_mg_l: 'Lectura del kit', ion: 'Ion', as_element_mg_l: 'Como nitrógeno o fósforo', stop_mg_l: 'Tope de oxígeno', biomass_kg: 'Peces en el tanque', uptake_mg_kg_h: 'Consumo de los peces', minutes: 'Minutos', weight1_g: 'Primer peso', weight2_g: 'Segundo peso', days: 'Días', degree_days: 'Grados día', sgr_pct_day: 'Tasa específica de crecimiento', gain_g_day: 'Ganancia diaria', tgc: 'Coeficiente térmico de crecimiento', to_weight_g: 'Peso que alcanzar',
    start_g: 'Peces al principio', end_g: 'Peces al final', removed_g: 'Sacado vivo o cosechado', added_g: 'Traído', kg_m3: 'Densidad', length_cm: 'Largo', k: 'Factor de condición K', cv_pct: 'Dispersión de los pesos (CV)', error_pct: 'Error permitido', confidence_pct: 'Confianza', z: 'Z', sample_fish: 'Peces que pesar', feed_g_day: 'Alimento', ratio_g_m2_day: 'Alimento por superficie plantada',
    leaf_temperature_c: 'Temperatura de la hoja', saturation_kpa: 'Presión de vapor, llena', actual_kpa: 'Presión de vapor, actual', deficit_kpa: 'Déficit de presión de vapor', dew_point_c: 'Punto de rocío', humidity_ratio_kg_kg: 'Razón de humedad', wet_bulb_c: 'Bulbo húmedo', day_of_year: 'Día del año', ra_mj_m2_day: 'Radiación por encima del aire', day_length_h: 'Duración del día', sun_mol_m2_day: 'Luz del sol', target_mol_m2_day: 'Meta', lamp_hours: 'Horas de lámpara hasta la meta', dli_mol_m2_day: 'Luz del día', ppfd: 'Luz de las lámparas', hours: 'Horas de lámparas',
  },
  choice: {
    form: { full: 'completa', simple: 'simple: todo es bicarbonato' }, ratio_basis: { nitrite_n: 'nitrógeno', nitrite_ion: 'el ion nitrito' }, ion: { ammonium: 'amonio', nitrite: 'nitrito', nitrate: 'nitrato', phosphate: 'fosfato' },
    material: {
      koh: 'Hidróxido de potasio, KOH', naoh: 'Hidróxido de sodio, NaOH', ca_oh_2: 'Hidróxido de calcio, Ca(OH)₂', cao: 'Óxido de calcio, CaO', khco3: 'Bicarbonato de potasio, KHCO₃', nahco3: 'Bicarbonato de sodio, NaHCO₃', k2co3: 'Carbonato de potasio, K₂CO₃', na2co3: 'Carbonato de sodio, Na₂CO₃', caco3: 'Carbonato de calcio, CaCO₃', mg_oh_2: 'Hidróxido de magnesio, Mg(OH)₂', mgco3: 'Carbonato de magnesio, MgCO₃',
      nacl: 'Cloruro de sodio, NaCl', cacl2: 'Cloruro de calcio, CaCl₂', cacl2_2h2o: 'Cloruro de calcio dihidratado, CaCl₂·2H₂O', kcl: 'Cloruro de potasio, KCl', mgcl2_6h2o: 'Cloruro de magnesio hexahidratado, MgCl₂·6H₂O',
    },
  },
};
