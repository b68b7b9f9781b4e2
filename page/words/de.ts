// Every text of the drawing in German. Terms: docs/glossary-de.md; to be read by a native before it is used.

import type { Words } from "./en";

const plural = (n: number, one: string, many: string): string => (n === 1 ? one : many);

export const de: Words = {
  acts: {
    moveCorner: "Ecke verschoben", addCorner: "Ecke eingefügt", removeCorner: "Ecke entfernt", moveEdge: "Rand verschoben",
    setLength: "Länge gesetzt", setEdge: "Rand geändert", bendEdge: "Rand gebogen", addDeck: "Fläche gezeichnet",
    moveDeck: "Fläche verschoben", removeDeck: "Fläche entfernt", setDeck: "Fläche geändert", tapeDeck: "Fläche eingemessen",
    dropTape: "Bandmaß losgelassen", addPiece: "Teil eingesetzt", movePiece: "Teil verschoben", sizePiece: "Teilgröße geändert",
    setPiece: "Teil geändert", removePiece: "Teil entfernt", setFall: "Gefälle gesetzt", turnFall: "Gefälle gedreht",
    setRatio: "Neigung gesetzt", moveFallLine: "Gefällelinie verschoben", setExit: "Ausgang gesetzt", setJob: "Auftrag geändert",
  },
  why: {
    gone: () => "Es ist nicht mehr da.",
    changed: () => "Etwas anderes hat es inzwischen geändert.",
    twice: () => "Es ist schon da.",
    crosses: (w) => `Die Ränder ${w.first} und ${w.second} würden sich kreuzen.`,
    flat: (w) => `Rand ${w.edge} würde zurücklaufen oder hätte keine Länge.`,
    "inside out": () => "Der Umriss würde sich umstülpen.",
    "few corners": (w) => `Ein Umriss braucht ${w.least} Ecken.`,
    taped: () => "Dieser Umriss kommt vom Bandmaß. Eine Länge davon ändern oder das Bandmaß loslassen und weiterzeichnen.",
    number: (w) => `Eine Zahl zwischen ${w.least} und ${w.most} schreiben.`,
    name: (w) => (w.name === "" ? "Eine Fläche braucht einen Namen." : `Eine andere Fläche heißt ${w.name}.`),
    "no fall": () => "Dieses Gefälle hat keinen solchen Teil.",
    walk: (w) => walkFault(w),
    shape: (w) => `Das ist keine Dachdatei${w.path === "" ? "" : `: siehe ${w.path}`}.`,
  },
  conditions: {
    drip: { name: "Tropfkante", along: "Tropfkante, zur Rinne", means: "Hier läuft das Wasser ab, in eine Rinne." },
    verge: { name: "Ortgang", along: "Ortgang", means: "Ein Seitenrand mit niedrigem erhöhtem Profil." },
    kerb: { name: "Aufkantung", along: "Aufkantung", means: "Ein erhöhter Rand, der Wasser zurückhält." },
    wall: { name: "Wand", along: "Hauswand", means: "Eine höhere Wand: Anschluss und Blech." },
    parapet: { name: "Attika", along: "Attika", means: "Eine niedrige Wand: Anschluss unter ihrer Abdeckung." },
    tuck: { name: "unter der Deckung", along: "unter den Ziegeln", means: "Anschluss unter Ziegel oder Schiefer eines geneigten Daches." },
    "box gutter": { name: "Kastenrinne", along: "Kastenrinne", means: "Eine innenliegende Rinne." },
    "step up": { name: "Stufe hinauf", along: "Stufe hinauf", means: "Eine Stufe zu einer höheren Fläche." },
    "step down": { name: "Stufe hinab", along: "Stufe hinab", means: "Tropft auf eine tiefere Fläche." },
    joins: { name: "Anschluss an Bestand", along: "schließt an altes Laminat an", means: "Trifft auf ein vorhandenes Dach derselben Art." },
  },
  unsaid: "was ist hier?",
  kinds: {
    rooflight: "Oberlicht", hatch: "Dachausstieg", chimney: "Schornstein", void: "Aussparung", pipe: "Rohr", flue: "Abgasrohr",
    outlet: "Ablauf", overflow: "Notüberlauf", post: "Pfosten", joint: "Bewegungsfuge", exit: "Ausgang",
  },
  falls: {
    "one way": "nach einer Seite", ridge: "First", hip: "Grat", valley: "Kehle", "to point": "zu einem Ablauf", level: "eben",
    ratio: (n) => (n === null ? "1:?" : n === 0 ? "kein Gefälle" : `1:${String(Math.round(n * 10) / 10).replace(".", ",")}`),
    none: "niemand hat gesagt, wohin das Wasser läuft",
  },
  compass: { north: "Norden", "north-east": "Nordosten", east: "Osten", "south-east": "Südosten", south: "Süden",
    "south-west": "Südwesten", west: "Westen", "north-west": "Nordwesten" },
  sheet: {
    roof: (decks) => (decks === 0 ? "Dach: ein leeres Blatt" : `Dach: ${decks} ${plural(decks, "Fläche", "Flächen")}, von oben gesehen`),
    edge: (n, what, length) => `Rand ${n}, ${what}, ${length}`,
    corner: (n, x, y) => `Ecke ${n}, bei ${x}, ${y}`,
    deck: (name, area) => `Fläche ${name}, ${area}`,
    piece: (kind, name, size) => `${kind}${name === "" || name === kind ? "" : ` ${name}`}${size === "" ? "" : `, ${size}`}`,
    fall: (ratio, deck) => `Gefälle ${ratio} der Fläche ${deck}`,
    fallAlong: (ratio) => `Gefälle ${ratio}`,
    exit: (deck) => `Ausgang der Fläche ${deck}`,
    lineEnd: (kind, n) => `${kind}, Ende ${n}`,
    joists: (spacing, span) => `Balken ${spacing}${span === "" ? "" : `, Spannweite ${span}`}`,
    exitAlong: "Ausgang",
    north: "N",
    metres: "Meter", feet: "Fuß und Zoll",
    rise: (rise) => `Stich ${rise}`,
    keys: "Pfeiltasten verschieben das Gewählte um 50 mm, mit Umschalt um 5 mm. Bild auf und Bild ab wählen. Plus und Minus vergrößern "
      + "und verkleinern.",
  },
  tools: {
    group: "Zeichnen", edit: "Bewegen", draw: "Umriss", scale: "Bildmaßstab", zoomIn: "Näher", zoomOut: "Ferner", fit: "Ganzes Dach",
    joint: "Fuge",
    first: "Die Ecken antippen, eine nach der anderen. Die erste noch einmal schließt den Umriss.",
    drawing: (n) => `${n} ${plural(n, "Ecke", "Ecken")}. Die erste antippen, um zu schließen.`,
    typed: (length) => `${length}, dann Eingabetaste`,
    drop: (what) => `Antippen, wo es steht: ${what}.`,
    jointSecond: "Das andere Ende der Fuge antippen.",
    scaleFirst: "Zwei Punkte des Bildes antippen, deren Abstand bekannt ist.",
    scaleHow: "Wie weit sind sie auseinander?",
    close: "Schließen", back: "Zurück", leave: "Lassen",
    use: "Nehmen",
  },
  snapped: {
    corner: "auf der Ecke", edge: "auf dem Rand", extension: "in der Flucht des Randes", square: "rechtwinklig zum Rand",
    parallel: "längs des Randes", axis: "rechtwinklig",
    length: (m) => m, grid: (step) => `auf ${step}`,
  },
  list: {
    group: "Das Dach als Liste",
    deck: (name) => `Fläche ${name}`,
    area: "Fläche wie gezeichnet", within: "innerhalb des Umrisses", name: "Name", level: "Höhe", edges: "Ränder",
    pieces: "Öffnungen, Rohre und Fugen", fall: "Gefälle", joists: "Balken", exit: "Ausgang",
    empty: "Noch ist nichts gezeichnet.",
    edge: (n) => `Rand ${n}`,
    length: "Länge", chord: "Länge quer", moves: "welches Ende rückt", movesEnd: "fernes Ende", movesStart: "nahes Ende",
    rise: "Stich des Bogens, 0 gerade",
    meets: "worauf er trifft", height: "Höhe, mm", limit: "begrenzt bei, mm", width: "Breite oben, mm", tray: "Sperrschicht darüber",
    trayUnknown: "niemand hat nachgesehen", yes: "ja", no: "nein",
    to: "andere Fläche", toNone: "nicht gesagt", shared: "gemeinsam mit dem Nachbarn", note: "Bemerkung",
    off: (n, what) => `ab Rand ${n}, ${what}`,
    x: "quer", y: "hoch", cornerAt: "seine erste Ecke",
    addCorner: "Ecke einfügen", removeCorner: "Erste Ecke entfernen", remove: "Entfernen", moveOut: "50 mm hinaus",
    moveIn: "50 mm hinein",
    kind: "Art", kerb: "Aufkantung, mm", across: "Maß quer", along: "Maß hoch", diameter: "Durchmesser", bore: "Durchmesser, mm",
    fragile: "bricht unter einem Fuß",
    put: (what) => `Einsetzen: ${what}`,
    repeat: "Mehrere davon in Reihen", inRow: "in einer Reihe", rowApart: "Abstand quer", rows: "Reihen", rowsApart: "Abstand hoch",
    repeatNow: (n) => (n > 1 ? `${n} daraus machen` : "Sagen, wie viele"),
    fallKind: "wie das Wasser läuft", towards: "hinab nach", degrees: "Grad von Osten", ratio: "eins zu",
    plane: (which) => ({ only: "Gefälle", left: "links der Linie", right: "rechts der Linie" })[which] ?? which,
    lineEnd: (n) => `Linie, Ende ${n}`,
    joistWay: "laufen", joistsAcross: "quer über das Blatt", joistsUp: "das Blatt hinauf", joistsOther: "wie die Grade sagen",
    joistBearing: "laufen in Grad von Osten", joistSpacing: "Abstand, mm", joistSpan: "Spannweite",
    setExit: "Ausgang in die Mitte von Rand 1", noExit: "Kein Ausgang",
    dropTape: "Bandmaß loslassen und weiterzeichnen", tapeAgain: "Noch einmal einmessen",
    badLength: "Das ist keine Länge. 6,2 oder 620 cm oder 20' 4 1/2\" schreiben.", badNumber: "Das ist keine Zahl.",
  },
  tape: {
    title: "Aufmaß", place: (deck, side) => `Fläche ${deck} · Seite ${side}`,
    first: "An einer Ecke beginnen, das Dach zur Linken. Die erste Länge eintippen.",
    more: "Die Länge eintippen, dann die Wendung an ihrem Ende.",
    turnWhat: (hand) => `Dann ${hand}.`,
    closesNow: "Diese Seite schließt den Umriss.",
    wouldClose: (length) => `würde schließen: ${length}`,
    gap: (length) => `${length} bis zur ersten Ecke`,
    tooMany: "Mehr als 60 Seiten misst man nicht an einem Tag.",
    left: "links", right: "rechts", other: "andere Wendung", next: "weiter", close: "schließen", done: "fertig", point: ",", erase: "⌫",
    eraseLabel: "Letzte Ziffer oder Seite zurücknehmen",
    degrees: "Grad", leftBy: (d) => `links ${d}°`, rightBy: (d) => `rechts ${d}°`, free: "Wendung unbekannt", arc: "gebogen",
    arcHow: "Wie weit steht der Bogen in der Mitte vor?",
    notReached: "nicht erreichbar", pad: "Tastenfeld", soFar: (n) => `Umriss bisher: ${n} ${plural(n, "Seite", "Seiten")}`,
    closing: "so schließen",
    diagonals: (a, b) => `Diagonale ${a} nach ${b}: so wird das Aufmaß geprüft. Oder zwei Ecken antippen.`,
    pickedHow: (a) => `Von ${a} zu welcher Ecke?`, corner: (a) => `Ecke ${a}`,
    againHow: (a, b) => `${a} nach ${b} noch einmal: was sagt das Bandmaß?`, again: (a, b) => `${a}–${b} noch einmal messen`,
    mend: (a, b, length) => `${a}–${b} auf ${length} setzen`, drop: (a, b, length) => `${a}–${b} ${length}: weglassen`,
    keep: "so lassen", lastSide: "das war die letzte Seite", thatIsAll: "das ist alles", from: "von", to: "nach",
    diagonal: (a, b) => `${a}–${b}`,
    checked: (a, b, length) => `${a}–${b} ${length}`, typed: "oder den Rundgang eintippen", typedHint: "6,2 left 3,1 left …",
    use: "nehmen", cancel: "zurück",
    wrongAround: "Die Wendungen gehen nicht einmal herum: eine Seite fehlt, oder eine Wendung geht andersherum.",
  },
};

function walkFault(w: { readonly part: string; readonly at: number; readonly said: string }): string {
  switch (w.part) {
    case "short": return `${w.said} ${w.said === "1" ? "Seite ergibt" : "Seiten ergeben"} keinen Umriss: mindestens drei ansagen.`;
    case "open": return `Mehr als ${w.said} Seiten misst man nicht an einem Tag.`;
    case "length": {
      const what = w.said === "" ? "eine Länge fehlt" : `„${w.said}“ ist keine Länge`;
      return `Seite ${w.at + 1}: ${what}. 7,20 schreiben, oder ? wo sie nicht erreichbar war.`;
    }
    case "arc": return `Seite ${w.at + 1}: schreiben, wie weit der Bogen vorsteht, „arc 0,30“.`;
    default: return `Nach Seite ${w.at}: „${w.said}“ ist keine Wendung. left oder right sagen, left 45, wo es nicht rechtwinklig ist.`;
  }
}
