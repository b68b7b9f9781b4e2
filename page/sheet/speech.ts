// How the drawing speaks: the catalogue of words and the units that lengths are shown in, given
// once round everything that is drawn.

import { createContext } from "preact";
import { useContext } from "preact/hooks";
import type { Label } from "../model/command";
import type { Why } from "../model/why";
import { en, type Words } from "../words/en";
import { formatArea, formatLength, parseLength, withUnit, type Units } from "../words/length";

/** Speech is a language with its numbers. */
export interface Speech {
  readonly words: Words;
  readonly units: Units;
  readonly decimal: string;
}

export const SpeechContext = createContext<Speech>({ words: en, units: "metres", decimal: "." });

/** Saying is a speech with what it says most. */
export interface Saying extends Speech {
  readonly length: (m: number) => string;
  readonly withUnit: (m: number) => string;
  readonly area: (m2: number) => string;
  readonly parse: (text: string) => number | null;
  readonly why: (w: Why) => string;
}

type WhyWords = { readonly [K in Why["key"]]: (w: Extract<Why, { key: K }>) => string };

/** sayWhy puts a refusal into words. */
export function sayWhy(words: Words, w: Why): string {
  const table: WhyWords = words.why;
  return (table[w.key] as (w: Why) => string)(w);
}

/** sayAct puts an act of the history into words; a name that is not known says itself. */
export function sayAct(words: Words, label: string): string {
  const table: { readonly [label in Label]: string } = words.acts;
  return Object.hasOwn(table, label) ? table[label as Label] : label;
}

export function useSpeech(): Saying {
  const s = useContext(SpeechContext);
  return {
    ...s, length: (m) => formatLength(m, s.units, s.decimal), withUnit: (m) => withUnit(m, s.units, s.decimal), area: (m2) => formatArea(m2,
      s.units, s.decimal),
    parse: (text) => parseLength(text, s.units), why: (w) => sayWhy(s.words, w),
  };
}
