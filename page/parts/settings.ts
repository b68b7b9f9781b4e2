// Fields of the roof file by their paths, as worries, defaults and forms name them.

import { attempt, setDeck, setEdge, setJob, setPiece } from "../model/commands";
import type { Id, Json } from "../model/doc";
import { find } from "../model/find";
import { placeOf } from "../model/place";
import type { Session } from "../session/session";
import type { Worry } from "../worker/answers";

/** read reads a value as the roof file writes it. */
export function read(text: string): Json {
  try {
    return JSON.parse(text) as Json;
  } catch {
    return text;
  }
}

/** setField writes a field of the roof file by its path, and says whether it could. */
export function setField(session: Session, path: string, value: Json | undefined, join?: string): boolean {
  const doc = session.doc.value;
  const piece = /^(deck(?:s\[[^\]]*\])?(?:\.(?:edges|outline|openings|penetrations)\[[^\]]*\])?)\.(.+)$/s.exec(path);
  if (!piece) return session.made(attempt(doc, setJob, { path: path.split("."), value }, join));
  const id = placeOf(doc, piece[1]!), field = piece[2]!;
  const f = id === null ? null : find(doc, id);
  if (!f || id === null) return false;
  if (f.what === "corner") return session.made(attempt(doc, setEdge, { corner: id, field, value }, join));
  if (f.what === "piece") return session.made(attempt(doc, setPiece, { piece: id, field, value }, join));
  return session.made(attempt(doc, setDeck, { deck: id, path: field.split("."), value }, join));
}

/** placeIn is the member of the document that a worry is about. */
export function placeIn(session: Session, w: Worry): Id | null {
  return placeOf(session.doc.value, w.path) ?? placeOf(session.doc.value, w.where);
}
