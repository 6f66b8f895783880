// The page's own words in English and Spanish. What the desk answers comes in the language asked for.

const ENGLISH = {
  skip: "Skip to the page", views: "Views", today: "Today", week: "Week", book: "Book", parish: "Parish",
  language: "Language", dayBefore: "The day before", dayAfter: "The day after", toToday: "Today", toSunday: "Sunday", date: "Date",
  weekBefore: "Seven days earlier", weekAfter: "Seven days later", thisWeek: "From today",
  ribbons: "Ribbons", service: "Order of service", why: "Why", worth: "What it is worth", look: "To look at",
  choices: "Choices for this day", mass: "Mass", preface: "Preface", prayer: "Eucharistic Prayer", penitential: "Penitential Act",
  blessing: "Blessing", common: "Common", rite: "Rite within the Mass", collectFrom: "Collect from another Mass", prayersOf: "Prayers of another week of Ordinary Time", otherMass: "Another Mass of the book", more: "More choices",
  byRule: (what) => (what ? `By the rule: ${what}` : "By the rule"), byHabit: "By habit", nearest: "nearest in the book", allowed: "Fitting today", others: "Others: the card will say so",
  inAnyCase: "Celebrate it although the day does not permit it", none: "None", optional: "May be done", done: "Yes", notDone: "No",
  gloria: "Gloria", creed: "Creed", sprinkling: "Sprinkling", "solemn-blessing": "Solemn blessing", "over-people": "Prayer over the people",
  "universal-prayer": "Universal Prayer from the book", antiphons: "Antiphons from the book",
  penitentials: { first: "First form: the Confiteor", second: "Second form", third: "Third form", "third-from-appendix": "Third form, from the appendix" },
  eveningMass: (title) => `This evening: ${title}`, ofTheDay: "Back to the Mass of the day", evening: "Evening Mass",
  edgeOf: (book) => `The edge of ${book} with its ribbons:`, ribbonAt: (ribbon, page) => `${ribbon} at page ${page}`, openAt: (page) => `lies open at ${page}`,
  page: "page", whyTexts: "Why each text", print: "Print", pdf: (paper) => `PDF ${paper}`, lookNow: "Look now:", doubtful: "look",
  chooseBook: "From the book", noBook: "No book is on the shelf yet. Photograph the contents pages of your altar book, and every text below gets its page.",
  beginBook: "Begin a book", texts: "Texts from the altar book", byHeart: "by heart",
  settled: "Settled for this day", forget: "Forget the choices for this day",
  saved: "Kept.", undone: "Undone.", redone: "Done again.", ofBook: (n) => (n === 1 ? "One photograph read" : `${n} photographs read`), readAgain: "Read again", away: "Put away", bringBack: "Bring back", rename: "Give it this name", putAway: "Put this book away", putAwayNote: "It keeps everything and can be brought back from the list of books.", askYes: "It is right", askNo: "No, leave it", planned: (title, ribbons) => `${title}. ${ribbons}`, loading: "One moment …",
  lost: "The desk does not answer", lostHint: "see whether vitta desk still runs, then try again", again: "Try again",
  hint: "What to try:", close: "Close", conflict: "Changed in another page meanwhile", mine: (v) => `Keep mine: ${v}`, theirs: (v) => `Take theirs: ${v}`, nothing: "nothing",
  code: "Code", codeLong: "This device is new here. Type the code that vitta desk shows in the terminal.", enter: "Come in",
  books: "Books", newBook: "A new book", bookName: "Its name", bookNameNote: "By its place or its binding: chapel, red missal", kind: "Kind of book", printedIn: "Printed in",
  outlines: { "roman-missal-3": "Altar missal", "chair-book": "Book for the chair", "weekday-chapel": "Small missal for weekdays", "roman-missal-1962": "Missal of 1962", none: "Another kind" },
  languages: { en: "English", es: "Spanish", la: "Latin", fr: "French", de: "German", it: "Italian", pt: "Portuguese", pl: "Polish" },
  begin: "Begin", photographs: "Photographs", review: "Review", pages: "Pages", compare: "Compare", share: "Give and take",
  takePhoto: "Take a photograph", choosePhotos: "Choose photographs", dropHere: "or drop them here", photosNote: "Contents pages, lists of prefaces, indexes: one page or opening each, from above, filling the picture.",
  waiting: "waits", reading: "being read …", sending: "being sent …", readDone: (n, d) => (d ? `${n} entries, ${d} in doubt` : `${n} entries`), refused: "not read", putBack: "Remove",
  readThem: (n) => (n === 1 ? "Read it" : `Read all ${n}`), readingNow: (a, b) => `Reading: ${a} of ${b}`, readAll: "All are read.", toReview: "Go on to the review",
  known: (n) => `${n} pages known`, inDoubt: (n) => `${n} to look at`, estimated: (n) => `${n} estimated`, absent: (n) => `${n} not in this book`,
  looksLeft: (n, more) => (n === 0 ? "The coming month is safe." : `${more ? "More than " : ""}${n} ${n === 1 ? "look" : "looks"} until the coming month is safe.`),
  looksAtMost: (n) => (n === 0 ? "The coming month is safe." : `At most ${n} ${n === 1 ? "look" : "looks"} until the coming month is safe.`),
  rowOf: (n) => (n === 1 ? "The last row to look at" : `${n} rows to look at`), pageField: "Page", confirm: "Confirm", notInBook: "Not in this book", later: "Later", undo: "Undo", undoWhat: (what) => `Undo: ${what}`, redoWhat: (what) => `Do again: ${what}`,
  keys: [["Enter", "the page is right: next"], ["digits, Enter", "another page: next"], ["–, Enter", "not in this book"], ["Esc", "later"], ["Ctrl Z", "undo"], ["Ctrl Y", "do again"]],
  stripOf: (title, page) => `The print: ${title}, ${page}`, stripGone: "The photograph was not kept; look into the book itself.", unread: "No photograph names it. Look into the book itself.",
  between: (a, b) => `between ${a} and ${b}`, readAs: (pages) => `read as ${pages}`, wholePhoto: "The whole photograph", beforeIt: (title, page) => `before it: ${title}, ${page}`, afterIt: (title, page) => `after it: ${title}, ${page}`,
  moved: (n, s) => `With that ${n === 1 ? "one other text moved" : `${n} other texts moved`}${s ? `, ${s} of them settled` : ""}.`, nextUp: "Then", allDone: "Nothing is left to look at.", isOn: (title, page) => `${title}: ${page}`,
  states: { read: "known", mended: "check", doubtful: "check", estimated: "reckoned", confirmed: "known", absent: "not in this book" },
  find: "Find a text", shown: (n) => `${n} texts`, say: "Correct", compareWith: "With", carry: "Carry ribbons, tabs and sheets over to the other", carried: "Carried over.", staysBehind: (mark, why) => `${mark} stays behind: ${why}`, oneBook: "Two books are needed to compare.", differ: "Only where they differ",
  exportIt: "Give the pages away", exportNote: "One file for another parish with the same edition: pages and evidence, without your ribbons and history.", importIt: "Take in a file", importNote: "A book's file from another parish.", importName: "Its name on this shelf",
  ribbonsOf: "Ribbons of this copy, from the spine", addRibbon: "Add a ribbon", colourOf: (n) => `Colour of ribbon ${n}`, takeOut: (c) => `Take out ${c}`, noRibbons: "Which ribbons has this copy? Add them in their order from the spine.",
  colours: ["red", "green", "gold", "violet", "white", "blue", "black", "rose"],
  move: (list) => `Move ${list}`, stay: "All ribbons stay", lay: (list) => `Lay ${list}`, weekNote: (n, apart) => `${n === 1 ? "One ribbon moves" : `${n} ribbons move`} in these seven days${apart > n ? `; each Mass laid by itself, ${apart} would` : ""}.`, sheet: "Sheet for the wall (PDF)", openDay: "Open", and: "and",
  parishName: "Name of the parish", parishNote: "Everything here is kept as soon as it is changed.", calendar: "Calendar", over: "Calendar of the country or diocese", addLayer: "Take in a calendar's file", layerNote: "From your diocese or order.", own: "Of our own: title, patron, dedication", addOwn: "Add a celebration",
  roles: { "title of the church": "Title of the church", "dedication of the church": "Dedication of the church", "patron of the place": "Patron of the place", "secondary patron": "Secondary patron", "patron of the diocese": "Patron of the diocese", "dedication of the cathedral": "Dedication of the cathedral", "title, founder or patron of the order": "Title, founder or patron of the order", "patron of the nation": "Patron of the nation" },
  role: "What it is", day: "Day", month: "Month", onThatDay: "Which", another: "Another, not in the calendar", itsTitle: "Its title", add: "Add", takeAway: "Take away", months: ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"],
  general: "General Roman Calendar", habits: "The priest's habits", sundayPrayer: "Eucharistic Prayer on Sundays and feasts", weekdayPrayer: "Eucharistic Prayer on weekdays", nearestPreface: "Among several prefaces take the nearest in the book", sungPrayer: "The Eucharistic Prayer is sung", sungPreface: "The preface is sung", whenSprinkling: "Sprinkling with water", whenBlessing: "Solemn blessing", lentPeople: "Prayer over the people on weekdays of Lent", memorialPrayers: "The other prayers of a memorial", memorials: { common: "from the Common", weekday: "from the weekday" }, closing: "Prayer after Communion", stands: { chair: "at the chair", altar: "at the altar" }, chairBook: "Book for the chair", oneBookOnly: "None: one book for all",
  ons: { never: "never", "easter-sundays": "on Sundays of Easter", solemnities: "on solemnities", "sundays-and-solemnities": "on Sundays and solemnities" },
  knownByHeart: "Known by heart", datesSettled: "Settled for single dates", noDates: "Nothing is settled.", likes: "A preface taken first where it fits",
};

const SPANISH = {
  skip: "Ir a la página", views: "Vistas", today: "Hoy", week: "Semana", book: "Libro", parish: "Parroquia",
  language: "Idioma", dayBefore: "El día anterior", dayAfter: "El día siguiente", toToday: "Hoy", toSunday: "Domingo", date: "Fecha",
  weekBefore: "Siete días antes", weekAfter: "Siete días después", thisWeek: "Desde hoy",
  ribbons: "Cintas", service: "Orden de la Misa", why: "Por qué", worth: "Lo que vale", look: "Para mirar",
  choices: "Opciones de este día", mass: "Misa", preface: "Prefacio", prayer: "Plegaria eucarística", penitential: "Acto penitencial",
  blessing: "Bendición", common: "Común", rite: "Rito dentro de la Misa", collectFrom: "Colecta de otra Misa", prayersOf: "Oraciones de otra semana del Tiempo Ordinario", otherMass: "Otra Misa del libro", more: "Más opciones",
  byRule: (what) => (what ? `Según la norma: ${what}` : "Según la norma"), byHabit: "Según costumbre", nearest: "el más cercano en el libro", allowed: "Apropiados hoy", others: "Otros: la tarjeta lo dirá",
  inAnyCase: "Celebrarla aunque el día no lo permita", none: "Ninguno", optional: "Se puede hacer", done: "Sí", notDone: "No",
  gloria: "Gloria", creed: "Credo", sprinkling: "Aspersión", "solemn-blessing": "Bendición solemne", "over-people": "Oración sobre el pueblo",
  "universal-prayer": "Oración universal del libro", antiphons: "Antífonas del libro",
  penitentials: { first: "Primera forma: Yo confieso", second: "Segunda forma", third: "Tercera forma", "third-from-appendix": "Tercera forma, del apéndice" },
  eveningMass: (title) => `Esta tarde: ${title}`, ofTheDay: "Volver a la Misa del día", evening: "Misa de la tarde",
  edgeOf: (book) => `El canto de ${book} con sus cintas:`, ribbonAt: (ribbon, page) => `${ribbon} en la página ${page}`, openAt: (page) => `abierto en ${page}`,
  page: "página", whyTexts: "Por qué cada texto", print: "Imprimir", pdf: (paper) => `PDF ${paper}`, lookNow: "Mirar ahora:", doubtful: "mirar",
  chooseBook: "Del libro", noBook: "Todavía no hay ningún libro. Fotografíe las páginas del índice de su libro del altar y cada texto tendrá aquí su página.",
  beginBook: "Empezar un libro", texts: "Textos del libro del altar", byHeart: "de memoria",
  settled: "Decidido para este día", forget: "Olvidar las opciones de este día",
  saved: "Guardado.", undone: "Deshecho.", redone: "Hecho de nuevo.", ofBook: (n) => (n === 1 ? "Una fotografía leída" : `${n} fotografías leídas`), readAgain: "Leer de nuevo", away: "Apartados", bringBack: "Traer de vuelta", rename: "Darle este nombre", putAway: "Apartar este libro", putAwayNote: "Lo conserva todo y puede volver desde la lista de libros.", askYes: "Es correcto", askNo: "No, dejarlo", planned: (title, ribbons) => `${title}. ${ribbons}`, loading: "Un momento …",
  lost: "La mesa no responde", lostHint: "compruebe que vitta desk sigue en marcha e inténtelo de nuevo", again: "Otra vez",
  hint: "Qué intentar:", close: "Cerrar", conflict: "Cambiado entretanto en otra página", mine: (v) => `Dejar lo mío: ${v}`, theirs: (v) => `Tomar lo otro: ${v}`, nothing: "nada",
  code: "Código", codeLong: "Este aparato es nuevo aquí. Escriba el código que vitta desk muestra en el terminal.", enter: "Entrar",
  books: "Libros", newBook: "Un libro nuevo", bookName: "Su nombre", bookNameNote: "Por su lugar o su encuadernación: capilla, misal rojo", kind: "Clase de libro", printedIn: "Impreso en",
  outlines: { "roman-missal-3": "Misal del altar", "chair-book": "Libro de la sede", "weekday-chapel": "Misal pequeño para las ferias", "roman-missal-1962": "Misal de 1962", none: "Otra clase" },
  languages: { en: "inglés", es: "español", la: "latín", fr: "francés", de: "alemán", it: "italiano", pt: "portugués", pl: "polaco" },
  begin: "Empezar", photographs: "Fotografías", review: "Revisión", pages: "Páginas", compare: "Comparar", share: "Dar y recibir",
  takePhoto: "Hacer una fotografía", choosePhotos: "Elegir fotografías", dropHere: "o suéltelas aquí", photosNote: "Índices, listas de prefacios: una página o abertura en cada una, desde arriba, llenando la imagen.",
  waiting: "espera", reading: "leyéndose …", sending: "enviándose …", readDone: (n, d) => (d ? `${n} entradas, ${d} dudosas` : `${n} entradas`), refused: "no leída", putBack: "Quitar",
  readThem: (n) => (n === 1 ? "Leerla" : `Leer las ${n}`), readingNow: (a, b) => `Leyendo: ${a} de ${b}`, readAll: "Todas están leídas.", toReview: "Pasar a la revisión",
  known: (n) => `${n} páginas conocidas`, inDoubt: (n) => `${n} por mirar`, estimated: (n) => `${n} estimadas`, absent: (n) => `${n} no están en este libro`,
  looksLeft: (n, more) => (n === 0 ? "El mes próximo está seguro." : `${more ? "Más de " : ""}${n} ${n === 1 ? "mirada" : "miradas"} hasta que el mes próximo esté seguro.`),
  looksAtMost: (n) => (n === 0 ? "El mes próximo está seguro." : `Como mucho ${n} ${n === 1 ? "mirada" : "miradas"} hasta que el mes próximo esté seguro.`),
  rowOf: (n) => (n === 1 ? "La última línea por mirar" : `${n} líneas por mirar`), pageField: "Página", confirm: "Confirmar", notInBook: "No está en este libro", later: "Más tarde", undo: "Deshacer", undoWhat: (what) => `Deshacer: ${what}`, redoWhat: (what) => `Hacer de nuevo: ${what}`,
  keys: [["Intro", "la página es correcta: siguiente"], ["cifras, Intro", "otra página: siguiente"], ["–, Intro", "no está en este libro"], ["Esc", "más tarde"], ["Ctrl Z", "deshacer"], ["Ctrl Y", "hacer de nuevo"]],
  stripOf: (title, page) => `Lo impreso: ${title}, ${page}`, stripGone: "La fotografía no se guardó; mire en el libro mismo.", unread: "Ninguna fotografía lo nombra. Mire en el libro mismo.",
  between: (a, b) => `entre ${a} y ${b}`, readAs: (pages) => `leído como ${pages}`, wholePhoto: "La fotografía entera", beforeIt: (title, page) => `antes: ${title}, ${page}`, afterIt: (title, page) => `después: ${title}, ${page}`,
  moved: (n, s) => `Con esto ${n === 1 ? "se movió otro texto" : `se movieron otros ${n} textos`}${s ? `; ${s} quedan resueltos` : ""}.`, nextUp: "Después", allDone: "No queda nada por mirar.", isOn: (title, page) => `${title}: ${page}`,
  states: { read: "conocida", mended: "comprobar", doubtful: "comprobar", estimated: "calculada", confirmed: "conocida", absent: "no está en este libro" },
  find: "Buscar un texto", shown: (n) => `${n} textos`, say: "Corregir", compareWith: "Con", carry: "Llevar cintas, pestañas y hojas al otro", carried: "Hecho.", staysBehind: (mark, why) => `${mark} se queda: ${why}`, oneBook: "Para comparar hacen falta dos libros.", differ: "Sólo donde difieren",
  exportIt: "Dar las páginas", exportNote: "Un archivo para otra parroquia con la misma edición: páginas y pruebas, sin sus cintas ni su historia.", importIt: "Recibir un archivo", importNote: "El archivo de un libro de otra parroquia.", importName: "Su nombre en este estante",
  ribbonsOf: "Cintas de este ejemplar, desde el lomo", addRibbon: "Añadir una cinta", colourOf: (n) => `Color de la cinta ${n}`, takeOut: (c) => `Quitar ${c}`, noRibbons: "¿Qué cintas tiene este ejemplar? Añádalas en su orden desde el lomo.",
  colours: ["roja", "verde", "dorada", "morada", "blanca", "azul", "negra", "rosa"],
  move: (list) => `Mueva ${list}`, stay: "Todas las cintas se quedan", lay: (list) => `Ponga ${list}`, weekNote: (n, apart) => `${n === 1 ? "Una cinta se mueve" : `${n} cintas se mueven`} en estos siete días${apart > n ? `; preparando cada Misa por separado serían ${apart}` : ""}.`, sheet: "Hoja para la pared (PDF)", openDay: "Abrir", and: "y",
  parishName: "Nombre de la parroquia", parishNote: "Todo se guarda en cuanto se cambia.", calendar: "Calendario", over: "Calendario del país o de la diócesis", addLayer: "Recibir el archivo de un calendario", layerNote: "De su diócesis u orden.", own: "Propio: título, patrono, dedicación", addOwn: "Añadir una celebración",
  roles: { "title of the church": "Título de la iglesia", "dedication of the church": "Dedicación de la iglesia", "patron of the place": "Patrono del lugar", "secondary patron": "Patrono secundario", "patron of the diocese": "Patrono de la diócesis", "dedication of the cathedral": "Dedicación de la catedral", "title, founder or patron of the order": "Título, fundador o patrono de la orden", "patron of the nation": "Patrono de la nación" },
  role: "Qué es", day: "Día", month: "Mes", onThatDay: "Cuál", another: "Otra, que no está en el calendario", itsTitle: "Su título", add: "Añadir", takeAway: "Quitar", months: ["enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre"],
  general: "Calendario Romano General", habits: "Costumbres del sacerdote", sundayPrayer: "Plegaria eucarística en domingos y fiestas", weekdayPrayer: "Plegaria eucarística en ferias", nearestPreface: "Entre varios prefacios, el más cercano en el libro", sungPrayer: "La plegaria eucarística se canta", sungPreface: "El prefacio se canta", whenSprinkling: "Aspersión del agua", whenBlessing: "Bendición solemne", lentPeople: "Oración sobre el pueblo en las ferias de Cuaresma", memorialPrayers: "Las otras oraciones de una memoria", memorials: { common: "del Común", weekday: "de la feria" }, closing: "Oración después de la comunión", stands: { chair: "en la sede", altar: "en el altar" }, chairBook: "Libro de la sede", oneBookOnly: "Ninguno: un libro para todo",
  ons: { never: "nunca", "easter-sundays": "los domingos de Pascua", solemnities: "en solemnidades", "sundays-and-solemnities": "en domingos y solemnidades" },
  knownByHeart: "De memoria", datesSettled: "Decidido para días sueltos", noDates: "No hay nada decidido.", likes: "Un prefacio preferido donde conviene",
};

let words = ENGLISH;

/** The page's language: "en" or "es". */
export function speak(language) {
  words = language === "es" ? SPANISH : ENGLISH;
}

/** The word called `key`, made with what follows where it is a sentence. */
export function t(key, ...rest) {
  const word = words[key];
  return typeof word === "function" ? word(...rest) : word ?? key;
}

/** For the test that both languages have the same words. */
export const both = [ENGLISH, SPANISH];
