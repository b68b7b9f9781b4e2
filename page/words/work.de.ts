// What the page says of the work that is done behind it, in German. To be read by a native before it is used.

import type { WorkWords } from "./work";

export const work: WorkWords = {
  head: "Im Hintergrund gemacht",
  make: "Alle Papiere als eine Datei machen",
  state: { waiting: "wartet", running: "läuft", done: "fertig", failed: "nicht gemacht", cancelled: "abgebrochen" },
  parts: (done, whole) => `${done} von ${whole}`,
  take: "Datei holen",
  cancel: "Abbrechen",
};
