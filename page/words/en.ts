// Every text of the drawing that a person reads, in English, keyed by name; a function where it
// holds values. Lengths arrive as texts, formatted by whoever shows them. Another language is a
// value of the type Words.

const plural = (n: number, one: string, many: string): string => (n === 1 ? one : many);

export const en = {
  /** What an act is called, in the list of what can be undone. */
  acts: {
    moveCorner: "Corner moved", addCorner: "Corner added", removeCorner: "Corner removed", moveEdge: "Edge moved", setLength: "Length set",
      setEdge: "Edge changed",
    bendEdge: "Edge curved", addDeck: "Deck drawn", moveDeck: "Deck moved", removeDeck: "Deck removed", setDeck: "Deck changed",
      tapeDeck: "Deck taped",
    dropTape: "Tape let go", addPiece: "Piece put in", movePiece: "Piece moved", sizePiece: "Piece sized", setPiece: "Piece changed",
      removePiece: "Piece removed",
    setFall: "Fall set", turnFall: "Fall turned", setRatio: "Fall's ratio set", moveFallLine: "Fall's line moved", setExit: "Exit set",
      setJob: "Job changed",
  },
  /** Why something cannot be done. */
  why: {
    gone: () => "It is no longer there.",
    changed: () => "Something else has changed it meanwhile.",
    twice: () => "It is there already.",
    crosses: (w: { readonly first: number; readonly second: number }) => `Edges ${w.first} and ${w.second} would cross.`,
    flat: (w: { readonly edge: number }) => `Edge ${w.edge} would fold back or have no length.`,
    "inside out": () => "The outline would turn inside out.",
    "few corners": (w: { readonly least: number }) => `An outline needs ${w.least} corners.`,
    taped: () => "The tape gives this outline. Change a length of it, or let go of the tape and draw on.",
    number: (w: { readonly least: number; readonly most: number }) => `Write a number between ${w.least} and ${w.most}.`,
    name: (w: { readonly name: string }) => (w.name === "" ? "A deck needs a name." : `Another deck is called ${w.name}.`),
    "no fall": () => "This fall has no such part.",
    walk: (w: { readonly part: string; readonly at: number; readonly said: string }) => walkFault(w),
    shape: (w: { readonly path: string }) => `This is no roof file${w.path === "" ? "" : `: look at ${w.path}`}.`,
  },
  /** Edge conditions: the word of the trade, what stands along the edge, and what it means. */
  conditions: {
    drip: { name: "drip", along: "drip, to the gutter", means: "Water leaves here, into a gutter." },
    verge: { name: "verge", along: "verge", means: "A side edge with a low raised trim." },
    kerb: { name: "kerb", along: "kerb", means: "A raised edge that holds water back." },
    wall: { name: "wall", along: "house wall", means: "A higher wall: upstand and flashing." },
    parapet: { name: "parapet", along: "parapet", means: "A low wall: upstand under its coping." },
    tuck: { name: "tuck", along: "under the tiles", means: "Upstand under the tiles or slates of a pitched roof." },
    "box gutter": { name: "box gutter", along: "box gutter", means: "A gutter within the roof." },
    "step up": { name: "step up", along: "step up", means: "A riser to a higher deck." },
    "step down": { name: "step down", along: "step down", means: "Drips on to a lower deck." },
    joins: { name: "joins", along: "joins old laminate", means: "Meets an existing roof of the same kind." },
  },
  unsaid: "what is here?",
  kinds: {
    rooflight: "rooflight", hatch: "hatch", chimney: "chimney", void: "void", pipe: "pipe", flue: "flue", outlet: "outlet",
      overflow: "overflow", post: "post",
    joint: "movement joint", exit: "exit",
  },
  falls: {
    "one way": "one way", ridge: "ridge", hip: "hip", valley: "valley", "to point": "to an outlet", level: "level",
    ratio: (n: number | null) => (n === null ? "1:?" : n === 0 ? "no fall" : `1:${Math.round(n * 10) / 10}`),
    none: "nobody has said which way the water runs",
  },
  compass: { north: "north", "north-east": "north-east", east: "east", "south-east": "south-east", south: "south",
    "south-west": "south-west", west: "west", "north-west": "north-west" },
  sheet: {
    roof: (decks: number) => (decks === 0 ? "Roof: an empty sheet" : `Roof: ${decks} ${plural(decks, "deck", "decks")}, seen from above`),
    edge: (n: number, what: string, length: string) => `Edge ${n}, ${what}, ${length}`,
    corner: (n: number, x: string, y: string) => `Corner ${n}, at ${x}, ${y}`,
    deck: (name: string, area: string) => `Deck ${name}, ${area}`,
    piece: (kind: string, name: string, size: string) =>
      `${kind}${name === "" || name === kind ? "" : ` ${name}`}${size === "" ? "" : `, ${size}`}`,
    fall: (ratio: string, deck: string) => `Fall ${ratio} of deck ${deck}`,
    fallAlong: (ratio: string) => `fall ${ratio}`,
    exit: (deck: string) => `Exit of deck ${deck}`,
    lineEnd: (kind: string, n: number) => `${kind}, end ${n}`,
    joists: (spacing: string, span: string) => `joists ${spacing}${span === "" ? "" : `, span ${span}`}`,
    exitAlong: "exit",
    north: "N",
    metres: "metres", feet: "feet and inches",
    rise: (rise: string) => `rise ${rise}`,
    keys: "Arrow keys move what is chosen by 50 mm, with Shift by 5 mm. Page up and page down choose. Plus and minus zoom.",
  },
  tools: {
    group: "Draw", edit: "Move", draw: "Outline", scale: "Scale the picture", zoomIn: "Nearer", zoomOut: "Farther", fit: "Whole roof",
      joint: "Joint",
    first: "Tap the corners, one after another. The first one again closes the outline.",
    drawing: (n: number) => `${n} ${plural(n, "corner", "corners")}. Tap the first one to close.`,
    typed: (length: string) => `${length}, then Enter`,
    drop: (what: string) => `Tap where the ${what} stands.`,
    jointSecond: "Tap the other end of the joint.",
    scaleFirst: "Tap two points of the picture whose distance you know.",
    scaleHow: "How far apart are they?",
    close: "Close", back: "Take back", leave: "Leave it",
    use: "Use it",
  },
  snapped: {
    corner: "on the corner", edge: "on the edge", extension: "in line with the edge", square: "square to the edge",
      parallel: "along the edge", axis: "square",
    length: (m: string) => m, grid: (step: string) => `to ${step}`,
  },
  list: {
    group: "The roof as a list",
    deck: (name: string) => `Deck ${name}`,
    area: "area as drawn", within: "within the outline", name: "name", level: "level", edges: "Edges", pieces: "Openings, pipes and joints",
      fall: "Fall", joists: "Joists", exit: "Exit",
    empty: "Nothing is drawn yet.",
    edge: (n: number) => `Edge ${n}`,
    length: "length", chord: "length across", moves: "which end moves", movesEnd: "far end", movesStart: "near end",
      rise: "rise of the curve, 0 straight",
    meets: "what it meets", height: "height, mm", limit: "limited at, mm", width: "width of the top, mm", tray: "cavity tray above",
      trayUnknown: "nobody has looked", yes: "yes", no: "no",
    to: "other deck", toNone: "not said", shared: "shared with a neighbour", note: "note",
    off: (n: number, what: string) => `off edge ${n}, ${what}`,
    x: "across", y: "up", cornerAt: "its first corner",
    addCorner: "Add a corner", removeCorner: "Remove its first corner", remove: "Remove", moveOut: "Move out 50 mm",
      moveIn: "Move in 50 mm",
    kind: "kind", kerb: "kerb, mm", across: "size across", along: "size up", diameter: "diameter", bore: "diameter, mm",
      fragile: "breaks under a foot",
    put: (what: string) => `Put in: ${what}`,
    repeat: "Several of these in rows", inRow: "in a row", rowApart: "apart across", rows: "rows", rowsApart: "apart up",
    repeatNow: (n: number) => (n > 1 ? `Make it ${n}` : "Say how many"),
    fallKind: "how the water runs", towards: "down towards", degrees: "degrees from east", ratio: "one in", plane: (which: string) =>
      ({ only: "fall", left: "left of the line", right: "right of the line" })[which] ?? which,
    lineEnd: (n: number) => `line, end ${n}`,
    joistWay: "run", joistsAcross: "across the sheet", joistsUp: "up the sheet", joistsOther: "as the degrees say",
    joistBearing: "run at, degrees from east", joistSpacing: "apart, mm", joistSpan: "span",
    setExit: "Put the exit in the middle of edge 1", noExit: "No exit",
    dropTape: "Let go of the tape and draw on", tapeAgain: "Call the tape again",
    badLength: "This is no length. Write 6.2, 620 cm or 20' 4 1/2\".", badNumber: "This is no number.",
  },
  tape: {
    title: "Survey", place: (deck: number, side: number) => `deck ${deck} · edge ${side}`,
    first: "Start at any corner, with the roof on your left. Type the first length.",
    more: "Type the length, then the turn at its end.",
    turnWhat: (hand: string) => `Then ${hand}.`,
    closesNow: "This side closes the outline.",
    wouldClose: (length: string) => `would close: ${length}`,
    gap: (length: string) => `${length} from the first corner`,
    tooMany: "More than 60 sides are not taped in a day.",
    left: "left", right: "right", other: "other turn", next: "next", close: "close", done: "done", point: ".", erase: "⌫",
      eraseLabel: "Take the last digit or side back",
    degrees: "degrees", leftBy: (d: string) => `left ${d}°`, rightBy: (d: string) => `right ${d}°`, free: "turn not known", arc: "curved",
      arcHow: "How far does the curve stand out at its middle?",
    notReached: "not reached", pad: "keypad", soFar: (n: number) => `Outline so far: ${n} ${plural(n, "side", "sides")}`,
    closing: "close it so", diagonals: (a: string, b: string) => `Diagonal ${a} to ${b}: so something checks the tape. Or tap two corners.`,
    pickedHow: (a: string) => `From ${a} to which corner?`, corner: (a: string) => `Corner ${a}`,
    againHow: (a: string, b: string) => `${a} to ${b} anew: what does the tape say?`, again: (a: string, b: string) =>
      `Measure ${a}–${b} again`,
    mend: (a: string, b: string, length: string) => `Make ${a}–${b} ${length}`, drop: (a: string, b: string, length: string) =>
      `${a}–${b} ${length}: take away`,
    keep: "leave it", lastSide: "that was the last side", thatIsAll: "that is all of it", from: "from", to: "to", diagonal: (a: string,
      b: string) => `${a}–${b}`,
    checked: (a: string, b: string, length: string) => `${a}–${b} ${length}`, typed: "or type the walk", typedHint: "6.2 left 3.1 left …",
      use: "use it", cancel: "back",
    wrongAround: "The turns do not go once round: a side is missing, or a turn goes the other way.",
  },
};

/** Words is the catalogue's type: what another language must say. */
export type Words = typeof en;

function walkFault(w: { readonly part: string; readonly at: number; readonly said: string }): string {
  switch (w.part) {
    case "short": return `${w.said} ${w.said === "1" ? "side makes" : "sides make"} no outline: call three at least.`;
    case "open": return `More than ${w.said} sides are not taped in a day.`;
    case "length": {
      const what = w.said === "" ? "a length is missing" : `“${w.said}” is no length`;
      return `Side ${w.at + 1}: ${what}. Write 7.20, or ? where it could not be reached.`;
    }
    case "arc": return `Side ${w.at + 1}: write how far the curve stands out, “arc 0.30”.`;
    default: return `After side ${w.at}: “${w.said}” is no turn. Say left or right, left 45 where it is not square.`;
  }
}
