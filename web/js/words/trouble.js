/*
 * The words of Trouble, in both languages, loaded with it.  What is advised here is common practice, no source; where law, labels or licences
 * rule, the words send to them.  Each list is in the order in which things are done.
 */
export default {
  en: {
    what: 'What is wrong?', kinds: { air: 'No air', power: 'No power', water: 'Bad water', leak: 'Losing water', dying: 'Fish are dying' },
    since: '{what}, since {time}', over: 'It is over', begun: 'Trouble: {what}', again: 'All under one incident. Press what fits best; it can be changed later.',
    hold: 'Hold all feeding', hold_under: { one: '{n} tank', other: '{n} tanks' }, held: { one: 'Feeding is held in {n} tank', other: 'Feeding is held in {n} tanks' },
    hold_said: 'All feeding held', hold_reason: 'Trouble: {what}', no_plans: 'No tank has a feeding plan to hold', release: 'Feed again as planned', release_why: 'the trouble is over',
    air_title: 'Minutes of air left, the shortest first', air_what: 'If nothing gave any oxygen, until the stop limit. From the newest reading, the water and the fish in the book: which tank goes first, not a promise.',
    minutes: { one: '{n} min', other: '{n} min' }, unknown: 'not known', read: 'oxygen {value}, {age}', old: 'old reading', never: 'no reading', as_of: 'Worked out {age}.',
    no_report: 'Minutes of air are not known: the service has not given them to this tablet. Read the oxygen, and begin where most fish stand in least water.',
    usual: 'Usual figures stand where the farm has none of its own.', before: 'read before this began: read again', oxygen: 'Oxygen', sweep: 'Oxygen in all, in this order', dead: 'Dead', dead_pad: 'Dead from {place}', fish: 'Fish', weight: 'Weight together',
    dead_said: '{place}: dead fish taken out', dead_save: 'Log the dead', done: 'What was done', done_label: 'In a few words, for those who come next', done_said: 'Noted: what was done', save: 'Save',
    logged: 'Under this incident', logged_dead: { one: '{n} dead', other: '{n} dead' }, logged_readings: { one: '{n} reading', other: '{n} readings' }, logged_notes: { one: '{n} note', other: '{n} notes' }, nothing_logged: 'nothing yet',
    steps_title: 'First steps, in this order', card: 'Print the card', call: 'Call', call_blank: ['Manager', 'Electrician', 'Oxygen', 'Fish vet', 'Neighbour who helps'], cautions_title: 'Take care',
    steps: {
      all: ['People first. Nobody works alone.', 'Hold all feeding.', 'Air or oxygen on, in the tank that goes first.', 'Read the oxygen, the worst tank first; again every ten minutes.', 'Call the manager.', 'Take out the dead, count and weigh them.'],
      air: ['Open the reserve: oxygen or the second blower, in the tank that goes first.', 'Look at blower, belt, valve, stones; is a hose off?', 'Keep the water moving; let it fall.', 'Leave the settled solids alone: stirred up they take the rest of the oxygen.', 'If one tank cannot be saved with its load, move fish to one with air. Nets and tanks of other lots: only if nothing else is left.'],
      power: ['Is it the house or the street? A tripped switch that trips again stays off.', 'Start the generator, outdoors. First air, then pumps, then heat.', 'No generator: oxygen from bottles by stones, the tank that goes first.', 'Look at the levels: what drains or siphons back? Close it.', 'Plants: rafts can wait for hours; channels run dry in minutes, wet them by hand.', 'When the power is back: look at each pump before you leave.'],
      water: ['Test again, to be sure, and test the neighbour tank.', 'Ammonia high: no base now, it makes ammonia worse. Less or no feed, more air.', 'Nitrite high: no feed, more air. Salt only by the dosing desk on Water: the plants share the water.', 'Change water slowly: same temperature, free of chlorine.', 'Look at the biofilter: does it get air and water?', 'Was something cleaned, sprayed, dosed or delivered? Keep a sample in a clean bottle, cold.'],
      leak: ['Stop the pump before it runs dry, if the sump is falling.', 'Find where it goes: overflow, screen blocked, hose, valve, a raft across the outlet.', 'Keep the fish covered; lower the tanks’ outlets last.', 'Fill up slowly: same temperature, free of chlorine. Note how much.', 'Screens in place? Fish that got out may not reach open water: the permit says whom to tell.'],
      dying: ['Read oxygen first, then temperature, ammonia, nitrite, pH.', 'One tank or all? One: look at its inflow and its fish. All: look at the water.', 'No feed. Nets and boots of this tank stay at this tank.', 'Take out the dead at once; keep three fresh ones cold, not frozen, and a bottle of water for the vet.', 'No drug by guess: it reaches plants, filter and people.', 'Notifiable disease? The authority decides, not we: call.'],
    },
    cautions: {
      electric: 'Electricity beside water: off at the board first, dry hands, one person watches. What was under water is for a licensed electrician.',
      gas: 'Gas in closed spaces: no generator indoors, ever. Pits, sumps and filter tanks can lack air or hold hydrogen sulphide: test, second person outside, nobody climbs after one who fell.',
      oxygen: 'Oxygen bottles: no oil, no grease, no flame; fixed upright; valve open slowly.',
      drugs: 'Drugs and salts: only what label, law and the vet allow, with the withdrawal time noted. The plants drink the same water, and people eat both.',
      food: 'Dead or dying fish are not sold. Hold the harvest of the tank and of its plants until the cause is known.',
      law: 'The local code, the permit and licensed people stand above this page.',
    },
  },
  es: {
    what: '¿Qué pasa?', kinds: { air: 'Sin aire', power: 'Sin luz', water: 'Agua mala', leak: 'Se pierde agua', dying: 'Mueren peces' },
    since: '{what}, desde las {time}', over: 'Ya pasó', begun: 'Emergencia: {what}', again: 'Todo bajo un incidente. Pulse lo que más se acerque; luego se puede cambiar.',
    hold: 'Suspender toda la alimentación', hold_under: { one: '{n} tanque', other: '{n} tanques' }, held: { one: 'Alimentación suspendida en {n} tanque', other: 'Alimentación suspendida en {n} tanques' },
    hold_said: 'Toda la alimentación suspendida', hold_reason: 'Emergencia: {what}', no_plans: 'Ningún tanque tiene plan de alimentación que suspender', release: 'Volver a alimentar según el plan', release_why: 'la emergencia pasó',
    air_title: 'Minutos de aire que quedan, primero el que menos', air_what: 'Si nada diera oxígeno, hasta el tope. Con la última lectura, el agua y los peces del libro: qué tanque va primero, no una promesa.',
    minutes: { one: '{n} min', other: '{n} min' }, unknown: 'no se sabe', read: 'oxígeno {value}, {age}', old: 'lectura vieja', never: 'sin lectura', as_of: 'Calculado {age}.',
    no_report: 'No se saben los minutos de aire: el servicio no los ha dado a esta tableta. Mida el oxígeno y empiece donde hay más peces en menos agua.',
    usual: 'Donde la granja no tiene cifras suyas valen las usuales.', before: 'medido antes de esto: medir otra vez', oxygen: 'Oxígeno', sweep: 'Oxígeno en todos, en este orden', dead: 'Muertos', dead_pad: 'Muertos de {place}', fish: 'Peces', weight: 'Peso de todos',
    dead_said: '{place}: muertos sacados', dead_save: 'Anotar los muertos', done: 'Qué se hizo', done_label: 'En pocas palabras, para quien venga después', done_said: 'Anotado lo que se hizo', save: 'Guardar',
    logged: 'En este incidente', logged_dead: { one: '{n} muerto', other: '{n} muertos' }, logged_readings: { one: '{n} lectura', other: '{n} lecturas' }, logged_notes: { one: '{n} nota', other: '{n} notas' }, nothing_logged: 'nada todavía',
    steps_title: 'Primeros pasos, en este orden', card: 'Imprimir la ficha', call: 'Llamar', call_blank: ['Encargado', 'Electricista', 'Oxígeno', 'Veterinario de peces', 'Vecino que ayuda'], cautions_title: 'Cuidado',
    steps: {
      all: ['Primero las personas. Nadie trabaja solo.', 'Suspender toda la alimentación.', 'Aire u oxígeno en el tanque que va primero.', 'Medir el oxígeno, primero el peor tanque; otra vez cada diez minutos.', 'Llamar al encargado.', 'Sacar los muertos, contarlos y pesarlos.'],
      air: ['Abrir la reserva: oxígeno o el segundo soplador, en el tanque que va primero.', 'Mirar soplador, correa, válvula, difusores; ¿hay una manguera suelta?', 'Que el agua se mueva y caiga.', 'No remover los sólidos del fondo: removidos se comen el oxígeno que queda.', 'Si un tanque no se salva con su carga, pasar peces a uno con aire. Redes y tanques de otros lotes: solo si no queda más.'],
      power: ['¿Es la casa o la calle? Un interruptor que salta otra vez se queda bajado.', 'Arrancar el generador, fuera. Primero aire, luego bombas, luego calor.', 'Sin generador: oxígeno de cilindro con difusores, el tanque que va primero.', 'Mirar los niveles: ¿qué se vacía o vuelve por sifón? Cerrarlo.', 'Plantas: las balsas aguantan horas; los canales se secan en minutos, mojarlos a mano.', 'Cuando vuelva la luz: mirar cada bomba antes de irse.'],
      water: ['Repetir la prueba para estar seguro, y probar el tanque vecino.', 'Amonio alto: nada de base ahora, lo empeora. Menos alimento o nada, más aire.', 'Nitrito alto: sin alimento, más aire. Sal solo con la mesa de dosis de Agua: las plantas comparten el agua.', 'Cambiar agua despacio: misma temperatura, sin cloro.', 'Mirar el biofiltro: ¿le llegan aire y agua?', '¿Se limpió, roció, dosificó o trajo algo? Guardar una muestra en botella limpia, en frío.'],
      leak: ['Si baja el sumidero, parar la bomba antes de que trabaje en seco.', 'Buscar por dónde se va: rebosadero, rejilla tapada, manguera, válvula, una balsa en la salida.', 'Que los peces queden cubiertos; las salidas de los tanques se bajan lo último.', 'Rellenar despacio: misma temperatura, sin cloro. Anotar cuánto.', '¿Rejillas puestas? Un pez escapado no debe llegar a aguas abiertas: el permiso dice a quién avisar.'],
      dying: ['Medir primero oxígeno; luego temperatura, amonio, nitrito, pH.', '¿Un tanque o todos? Uno: mirar su entrada y sus peces. Todos: mirar el agua.', 'Sin alimento. Redes y botas de este tanque se quedan aquí.', 'Sacar los muertos ya; guardar tres frescos en frío, sin congelar, y una botella de agua para el veterinario.', 'Ningún fármaco a ojo: llega a plantas, filtro y personas.', '¿Enfermedad de declaración? Decide la autoridad, no nosotros: llamar.'],
    },
    cautions: {
      electric: 'Electricidad junto al agua: cortar antes en el tablero eléctrico, manos secas, alguien mira. Lo que estuvo bajo agua es para un electricista autorizado.',
      gas: 'Gas en sitios cerrados: nunca un generador dentro. Fosos, sumideros y filtros pueden no tener aire o tener sulfhídrico: medir, otra persona fuera, nadie baja por el que cayó.',
      oxygen: 'Cilindros de oxígeno: sin aceite, sin grasa, sin llama; sujetas de pie; la válvula, despacio.',
      drugs: 'Fármacos y sales: solo lo que permiten etiqueta, ley y veterinario, con el período de retiro anotado. Las plantas beben la misma agua y la gente come de las dos.',
      food: 'El pez muerto o moribundo no se vende. Retener la cosecha del tanque y de sus plantas hasta saber la causa.',
      law: 'La norma local, el permiso y los profesionales autorizados están por encima de esta página.',
    },
  },
};
