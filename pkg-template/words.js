// What the element and a report's stable names say, as tables that a host can replace: English labels, German and Spanish in full.
import { en } from './element/words.js';

export { en };

const fill = (text, blanks) => text.replace(/\{(\w+)\}/g, (_, name) => blanks[name] ?? '');

/** See words.d.ts. */
export function translated(report, words) {
  const { cue, finding, notes } = report;
  const side = (word) => words.sideWords[word] ?? '';
  const one = (entry, which) => (typeof entry === 'string' ? entry : fill(which === 'both' || !which ? entry.both : entry.one, { side: side(which) }));
  const number = finding.reps.join(', ');
  const found = fill(words.findings[finding.kind], { side: side(finding.side) });
  return {
    ...report,
    cue: {
      ...cue,
      text: one(words.cues[cue.id], cue.side),
      // The evidence's numbers stand in the table.
      why: [],
      film_next: cue.film_next_id && words.films[cue.film_next_id],
      cautions: [...words.cautions],
    },
    finding: { ...finding, sentence: number ? `${found} ${fill(words.inReps, { reps: number })}` : found, resting_shape: [] },
    notes: notes.map((note) => ({ ...note, text: words.notes[note.code] })),
  };
}

/** See words.d.ts. */
export const de = Object.freeze({
  lang: 'de',
  result: 'Ergebnis',
  check: 'Prüfung',
  rep: 'Wdh. {n}',
  shallow: 'flach',
  tableName: 'Wiederholungen nach Prüfung und Seite',
  caption: 'Wie weit jede Prüfung in jeder Wiederholung geht, ± Standardfehler: Knie gegen den Fuß, alles andere gegen den ruhigen Stand.',
  noReps: 'Keine ganze Wiederholung gefunden: beginne und beende jede im aufrechten Stand, die Füße im Bild.',
  one: '1 Wiederholung',
  many: '{n} Wiederholungen',
  checks: { heel_lift_mm: 'Ferse hoch', knee_in_deg: 'Knie innen', foot_roll_deg: 'Fuß gekippt', forward_pct: 'Gewicht nach vorn', load_left_pct: 'Gewicht auf dem linken Fuß' },
  units: { heel_lift_mm: 'mm', knee_in_deg: '°', foot_roll_deg: '°', forward_pct: '% des Fußes', load_left_pct: '%' },
  sides: { left: 'links', right: 'rechts' },
  sideWords: { left: 'linken', right: 'rechten', both: 'beiden' },
  verdicts: { clear: 'frei', unsure: 'unsicher', fault: 'Fehler', unseen: 'nicht gesehen' },
  phases: { searching: 'Steh eine Sekunde still, den ganzen Körper im Bild', standing: 'Stand', down: 'Abwärts', bottom: 'Unten', up: 'Aufwärts' },
  why: { layout: 'diese Punkte enthalten nichts dafür', view: 'von dieser Seite nicht zu beurteilen', missing: 'Punkte verdeckt oder außerhalb des Bildes', standing: 'kein ruhiger Stand zum Vergleich', noise: 'die Punkte waren zu unruhig' },
  cues: {
    'heel-print': { one: 'Lass das Gewicht auf der {side} Ferse, den ganzen Weg hinunter und hinauf.', both: 'Lass das Gewicht auf beiden Fersen, den ganzen Weg hinunter und hinauf.' },
    'stretch-the-mat': { one: 'Schieb mit dem {side} Fuß den Boden nach außen, als wolltest du eine Matte zwischen den Füßen spannen.', both: 'Schieb mit beiden Füßen den Boden auseinander, als wolltest du eine Matte dazwischen spannen.' },
    'heel-print-and-stretch': { one: 'Lass das Gewicht auf der {side} Ferse und schieb den Boden nach außen.', both: 'Lass das Gewicht auf beiden Fersen und schieb den Boden mit den Füßen auseinander.' },
    'toe-print': { one: 'Drück den Ballen der {side} Großzehe in den Boden wie für einen Abdruck, bis du stehst.', both: 'Drück die Ballen beider Großzehen in den Boden wie für Abdrücke, bis du stehst.' },
    'carrying-toe-print': { one: 'Zuerst beim {side} Fuß: drück den Ballen der Großzehe in den Boden wie für einen Abdruck, bis du stehst.', both: 'Drück den Ballen der Großzehe in den Boden wie für einen Abdruck, bis du stehst.' },
    'tape-line': { one: 'Bleib über einem Klebestreifen in der Mitte: schieb den Boden mit dem {side} Fuß weg.', both: 'Bleib in der Mitte: halt die Gürtelschnalle über einem Klebestreifen mitten zwischen den Füßen.' },
    keep: 'Gut. Fersen, große und kleine Zehen bleiben am Boden.',
    'film-again': 'Noch nicht sicher: film einen weiteren Satz.',
    stop: 'Für heute ist Schluss. Lass das, was schmerzt, vor dem nächsten Satz von einer zugelassenen Fachperson ansehen.',
  },
  findings: {
    forward: 'Das Gewicht geht nach vorn.', inward: 'Das Gewicht geht nach innen.', 'forward-inward': 'Das Gewicht geht nach vorn und innen.',
    outward: 'Das Gewicht geht nach außen.', sideways: 'Das Gewicht geht zu einer Seite.', none: 'Nichts ging über die Grenzen, soweit beurteilt.',
    'not-enough-seen': 'Es war zu wenig zu sehen.', 'not-squats': 'Das sieht nicht nach Kniebeugen aus.',
  },
  inReps: 'In den Wiederholungen {reps}.',
  films: {
    'side-on': 'Stell dich seitlich zum Telefon, das zwischen Knie und Hüfte steht, beide Füße im Bild.',
    'other-side': 'Dreh die andere Seite zum Telefon, das zwischen Knie und Hüfte steht, beide Füße im Bild.',
    'face-the-phone': 'Stell dich mit dem Gesicht zum Telefon, das zwischen Knie und Hüfte steht, beide Füße im Bild.',
    'stand-still': 'Steh vor der ersten Wiederholung zwei Sekunden still, Füße und Knie im Bild.',
    'in-the-picture': 'Halt Füße und Knie die ganze Zeit im Bild.',
    steady: 'Stell das Telefon auf etwas Festes, näher an die Füße, in besserem Licht.',
    'foot-points': 'Nimm einen Posenschätzer, der Fersen und Zehen findet.',
    'more-repetitions': 'Film fünf oder mehr Wiederholungen von derselben Stelle.',
    deeper: 'Film einen Satz in gewohnter Tiefe von derselben Stelle.',
  },
  notes: {
    'also-seen': 'Es war noch anderes zu sehen. Eins nach dem anderen.', 'other-heel': 'Eine Ferse war von hier nicht zu beurteilen.',
    slip: 'Einzelne Fehler, zu wenige für einen Befund: siehe Tabelle.', 'too-close': 'Nicht eindeutig: siehe Tabelle.',
    'not-from-this-side': 'Manches ist von dieser Seite nicht zu beurteilen: siehe Tabelle.', hidden: 'Manches war verdeckt oder außerhalb des Bildes: siehe Tabelle.',
    shaky: 'Manches war zu unruhig: siehe Tabelle.', 'no-points': 'Manches beurteilen diese Punkte nicht: siehe Tabelle.',
    'no-standing': 'Am Anfang war kein ruhiger Stand zum Vergleich.', shallow: 'Flache Wiederholungen; tiefere zeigen vielleicht mehr.',
    'one-repetition': 'Eine Wiederholung sagt wenig; film drei oder mehr.', shoes: 'Schuhe verdecken den Fuß: Ferse und Kippen sind die des Schuhs.',
    'raised-heel': 'Der erhöhte Absatz gehört zum Stand; gezählt wird, was dazukommt.', 'lines-changed': 'Grenzen vom Trainer gesetzt.',
    geometry: 'Das ist Geometrie aus dem Bild: wo die Füße sind, nicht wie fest sie drücken.', 'slow-lifting': 'Schwerpunkt und Lastverteilung gelten für langsames Heben.',
    'foot-moved': 'Ein Fuß wurde im Satz umgesetzt.', 'foot-turned': 'Ein Fuß wurde im Satz gedreht.', 'feet-anew': 'Die Füße wurden im Satz neu gesetzt; das Weitere wird damit verglichen.',
    'no-person': 'Niemand war zu erkennen, der steht: film eine Person von Kopf bis Fuß, zuerst in ruhigem Stand.',
    turned: 'Das Bild scheint gedreht: film mit aufrechtem Telefon.', steps: 'Ein Fuß verlässt seinen Platz: Schritte werden nicht beurteilt.',
    lunges: 'Das sieht nach Ausfallschritten aus: ein Knie geht viel tiefer als das andere.', kneeling: 'Das sieht nach Knien aus: ein Knie kommt fast zum Boden.',
    aside: 'Die Hüfte geht weit neben die Füße.', bends: 'Das sieht nach Rumpfbeugen aus: der Rumpf geht hinunter, die Oberschenkel nicht.',
    jumps: 'Das sieht nach Sprüngen aus: die Hüfte steigt höher als im Stand.', tiptoe: 'Das beginnt auf Zehenspitzen: steh zuerst auf flachen Füßen.',
    reaching: 'Das sieht nach Heben vom Boden aus: die Hände gehen unter die Knie.', 'too-quick': 'Das ist zu schnell für Kniebeugen.',
    'left-out': 'Einige Wiederholungen sehen nicht nach Kniebeugen aus und wurden nicht beurteilt.',
    'upside-down': 'Das Bild stand auf dem Kopf und wurde aufrecht gelesen.', 'quarter-turn': 'Das Bild war um ein Viertel gedreht und wurde aufrecht gelesen.',
    'phone-knocked': 'Das Telefon wurde bewegt: das Weitere wird von dort gelesen, wo es dann stand.',
    'phone-drifted': 'Das Telefon rutschte langsam: das wurde abgezogen, und die Fehler sind größer.',
    'out-of-sight': 'Füße oder Knie waren zeitweise nicht zu sehen.', 'unknown-fields': 'Unbekannte Angaben wurden weggelassen.',
  },
  cautions: [
    'Schmerz, Taubheit, Schwellung oder ein Fuß, der in Ruhe anders aussieht: aufhören und eine zugelassene Fachperson aufsuchen.',
    'Ablagen einstellen, jemanden sichern lassen und unter der Stange nicht auf den Bildschirm sehen.',
    'Ein Spiegel mit Zahlen, kein Medizinprodukt: das Urteil von Trainer oder Fachperson vor Ort geht vor.',
  ],
});

/** See words.d.ts. */
export const es = Object.freeze({
  lang: 'es',
  result: 'Resultado',
  check: 'Medida',
  rep: 'Rep. {n}',
  shallow: 'poco profunda',
  tableName: 'Repeticiones por medida y lado',
  caption: 'Hasta dónde llega cada medida en cada repetición, ± su error estándar: las rodillas respecto al pie, lo demás respecto a estar de pie quieto.',
  noReps: 'No se encontró ninguna repetición entera: empieza y termina cada una de pie, con los pies en la imagen.',
  one: '1 repetición',
  many: '{n} repeticiones',
  checks: { heel_lift_mm: 'Talón arriba', knee_in_deg: 'Rodilla adentro', foot_roll_deg: 'Pie ladeado', forward_pct: 'Peso adelante', load_left_pct: 'Peso en el pie izquierdo' },
  units: { heel_lift_mm: 'mm', knee_in_deg: '°', foot_roll_deg: '°', forward_pct: '% del pie', load_left_pct: '%' },
  sides: { left: 'izquierda', right: 'derecha' },
  sideWords: { left: 'izquierdo', right: 'derecho', both: 'ambos' },
  verdicts: { clear: 'bien', unsure: 'dudoso', fault: 'fallo', unseen: 'no visto' },
  phases: { searching: 'Quédate quieto un segundo, todo el cuerpo en la imagen', standing: 'De pie', down: 'Bajando', bottom: 'Abajo', up: 'Subiendo' },
  why: { layout: 'estos puntos no lo incluyen', view: 'no se puede juzgar desde este lado', missing: 'puntos tapados o fuera de la imagen', standing: 'sin un momento quieto de pie con que comparar', noise: 'los puntos temblaban demasiado' },
  cues: {
    'heel-print': { one: 'Deja el peso en el talón {side}, todo el camino abajo y arriba.', both: 'Deja el peso en los dos talones, todo el camino abajo y arriba.' },
    'stretch-the-mat': { one: 'Con el pie {side}, empuja el suelo hacia fuera, como si estiraras una estera entre los pies.', both: 'Separa el suelo con los dos pies, como si estiraras una estera entre ellos.' },
    'heel-print-and-stretch': { one: 'Deja el peso en el talón {side} y empuja el suelo hacia fuera.', both: 'Deja el peso en los dos talones y separa el suelo con los pies.' },
    'toe-print': { one: 'Aprieta la base del dedo gordo del pie {side} contra el suelo, como para dejar una huella, hasta estar de pie.', both: 'Aprieta la base de los dos dedos gordos contra el suelo, como para dejar huellas, hasta estar de pie.' },
    'carrying-toe-print': { one: 'Primero el pie {side}: aprieta la base del dedo gordo contra el suelo, como para dejar una huella, hasta estar de pie.', both: 'Aprieta la base del dedo gordo contra el suelo, como para dejar una huella, hasta estar de pie.' },
    'tape-line': { one: 'Quédate centrado sobre una línea de cinta: empuja el suelo con el pie {side}.', both: 'Quédate centrado: mantén la hebilla sobre una línea de cinta a medio camino entre los pies.' },
    keep: 'Bien. Talones, dedos gordos y dedos pequeños siguen en el suelo.',
    'film-again': 'Aún no es seguro: graba otra serie.',
    stop: 'Para por hoy. Que un profesional titulado mire lo que duele antes de la próxima serie.',
  },
  findings: {
    forward: 'El peso se va adelante.', inward: 'El peso se va hacia dentro.', 'forward-inward': 'El peso se va adelante y hacia dentro.',
    outward: 'El peso se va hacia fuera.', sideways: 'El peso se va a un lado.', none: 'Nada pasó los límites en lo que se pudo juzgar.',
    'not-enough-seen': 'Se vio demasiado poco.', 'not-squats': 'Esto no parecen sentadillas.',
  },
  inReps: 'En las repeticiones {reps}.',
  films: {
    'side-on': 'Ponte de lado al teléfono, colocado entre la rodilla y la cadera, los dos pies en la imagen.',
    'other-side': 'Pon el otro lado hacia el teléfono, colocado entre la rodilla y la cadera, los dos pies en la imagen.',
    'face-the-phone': 'Ponte de cara al teléfono, colocado entre la rodilla y la cadera, los dos pies en la imagen.',
    'stand-still': 'Quédate quieto dos segundos antes de la primera repetición, pies y rodillas en la imagen.',
    'in-the-picture': 'Mantén pies y rodillas en la imagen todo el tiempo.',
    steady: 'Pon el teléfono sobre algo firme, más cerca de los pies, con mejor luz.',
    'foot-points': 'Usa un estimador de pose que encuentre talones y dedos.',
    'more-repetitions': 'Graba cinco o más repeticiones desde el mismo sitio.',
    deeper: 'Graba una serie a la profundidad de siempre desde el mismo sitio.',
  },
  notes: {
    'also-seen': 'Se vio algo más. Una cosa a la vez.', 'other-heel': 'Un talón no se pudo juzgar desde aquí.',
    slip: 'Fallos sueltos, demasiado pocos para un hallazgo: ver la tabla.', 'too-close': 'No es claro: ver la tabla.',
    'not-from-this-side': 'Algo no se puede juzgar desde este lado: ver la tabla.', hidden: 'Algo estaba tapado o fuera de la imagen: ver la tabla.',
    shaky: 'Algo temblaba demasiado: ver la tabla.', 'no-points': 'Estos puntos no dicen todo: ver la tabla.',
    'no-standing': 'Al principio no hubo un momento quieto con que comparar.', shallow: 'Repeticiones poco profundas; otras pueden mostrar más.',
    'one-repetition': 'Una repetición dice poco; graba tres o más.', shoes: 'El zapato tapa el pie: talón y ladeo son los del zapato.',
    'raised-heel': 'El tacón es parte de estar de pie; solo cuenta lo que se añade.', 'lines-changed': 'Límites puestos por el entrenador.',
    geometry: 'Es geometría de la imagen: dónde están los pies, no cuánto aprietan.', 'slow-lifting': 'El centro de masa y el reparto valen para movimientos lentos.',
    'foot-moved': 'Un pie cambió de sitio en la serie.', 'foot-turned': 'Un pie giró en la serie.', 'feet-anew': 'Los pies se colocaron de nuevo en la serie; lo demás se compara con eso.',
    'no-person': 'No se distingue a nadie de pie: graba a una persona de cabeza a pies, primero quieta.',
    turned: 'La imagen parece girada: graba con el teléfono derecho.', steps: 'Un pie deja su sitio: los pasos no se juzgan.',
    lunges: 'Esto parecen zancadas: una rodilla baja mucho más que la otra.', kneeling: 'Esto parece arrodillarse: una rodilla llega casi al suelo.',
    aside: 'La cadera se va muy al lado de los pies.', bends: 'Esto parecen flexiones de cadera: el tronco baja y los muslos no.',
    jumps: 'Esto parecen saltos: la cadera sube más que de pie.', tiptoe: 'Esto empieza de puntillas: ponte primero con los pies planos.',
    reaching: 'Esto parece levantar algo del suelo: las manos bajan de las rodillas.', 'too-quick': 'Es demasiado rápido para sentadillas.',
    'left-out': 'Algunas repeticiones no parecen sentadillas y no se juzgaron.',
    'upside-down': 'La imagen estaba al revés y se leyó derecha.', 'quarter-turn': 'La imagen estaba girada un cuarto y se leyó derecha.',
    'phone-knocked': 'El teléfono se movió: lo que sigue se lee desde donde quedó.',
    'phone-drifted': 'El teléfono se fue desplazando: eso se descontó y los errores son mayores.',
    'out-of-sight': 'Pies o rodillas no se vieron durante un tiempo.', 'unknown-fields': 'Los datos desconocidos se dejaron fuera.',
  },
  cautions: [
    'Dolor, entumecimiento, hinchazón o un pie que se ve distinto en reposo: para y consulta a un profesional titulado.',
    'Pon los topes, pide ayuda y no mires la pantalla bajo la barra.',
    'Un espejo con números, no un producto sanitario: el juicio de un entrenador o profesional presente va primero.',
  ],
});
