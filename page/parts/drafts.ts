// What is on the way and no part of the document yet.

import { signal } from "@preact/signals";
import type { Doc, Id } from "../model/doc";

/** taping is the deck whose tape is being called; "" for a new one, null for none. */
export const taping = signal<Id | "" | null>(null);
/** draft is the document as it would be with the tape called so far. */
export const draft = signal<Doc | null>(null);
