// What a point was drawn to, shown while it happens: a line and a word.

import { plus, times, type Point } from "../model/geometry";
import type { Guide } from "../model/snap";
import { xy } from "./shape";
import type { Saying } from "./speech";
import { onSheet, type View } from "./view";

/** far enough to leave any sheet, m. */
const far = 500;

export function Guides({ view, guides }: { readonly view: View; readonly guides: readonly Guide[] }) {
  return <g aria-hidden="true">{guides.map((g, i) => {
    if (g.to === "grid" || g.to === "length") return null;
    if (g.to === "corner") return <circle key={i} class="guide-ring" cx={onSheet(view, g.at).x} cy={onSheet(view, g.at).y} r="14" />;
    const end = (k: number): Point => onSheet(view, plus(g.from, times(g.way, k * far)));
    return <path key={i} class="guide" d={`M${xy(end(-1))}L${xy(end(1))}`} />;
  })}</g>;
}

/** sayGuides puts them into words, the round length last. */
export function sayGuides(say: Saying, guides: readonly Guide[]): string {
  const words = say.words.snapped;
  const said = guides.map((g) => {
    if (g.to === "length") return words.length(say.withUnit(g.length));
    return g.to === "grid" ? words.grid(say.withUnit(g.step)) : words[g.to];
  });
  return [...new Set(said)].join(" · ");
}
