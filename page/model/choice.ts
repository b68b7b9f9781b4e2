// What is chosen, as one text that list, drawing and history share: the id of a deck, an edge (of
// the corner that it leaves) or a piece, and a part where that is meant and not the whole.

import type { Doc, Id } from "./doc";
import { arrowsOf } from "./falls";
import { find } from "./find";

/** Part of what an id names: a corner without its edge, a deck's fall or way off. */
export type Part = "corner" | "fall" | "exit";

export interface Choice {
  readonly id: Id;
  readonly part: Part | null;
}

/** choose makes the text; ids never hold an @. */
export const choose = (id: Id, part?: Part): Id => (part ? `${id}@${part}` : id);

export function choiceOf(chosen: Id | null): Choice | null {
  if (chosen === null) return null;
  const [id, part] = chosen.split("@");
  return { id: id!, part: part === "corner" || part === "fall" || part === "exit" ? part : null };
}

/** choices are all that can be chosen, in the order of the list: each deck, its edges, its corners, its pieces, its fall and exit. */
export function choices(doc: Doc): Id[] {
  const out: Id[] = [];
  for (const d of doc.decks) {
    out.push(d.id, ...d.corners.map((c) => c.id), ...d.corners.map((c) => choose(c.id, "corner")));
    out.push(...[...d.openings, ...d.penetrations, ...d.movement_joints].map((p) => p.id));
    if (arrowsOf(d).length > 0) out.push(choose(d.id, "fall"));
    if (d.fields["exit"] !== undefined) out.push(choose(d.id, "exit"));
  }
  return out;
}

/** neighbour is the next choice in a direction, round and round; what is no longer there counts as nothing. */
export function neighbour(doc: Doc, chosen: Id | null, step: 1 | -1): Id | null {
  const list = choices(doc), here = chosen === null ? -1 : list.indexOf(chosen);
  if (list.length === 0) return null;
  return list[here < 0 ? (step > 0 ? 0 : list.length - 1) : (here + step + list.length) % list.length]!;
}

/** stillThere is the choice if what it names exists, else null. */
export function stillThere(doc: Doc, chosen: Id | null): Id | null {
  const c = choiceOf(chosen);
  return c && find(doc, c.id) ? chosen : null;
}
