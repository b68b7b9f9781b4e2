// What can be drawn and put in: a row of buttons, one Tab stop.

import { useSignal } from "@preact/signals";
import { drops, tapsOf, type Mode } from "./mode";
import { rove } from "./roving";
import { useSpeech } from "./speech";

export interface ToolsProps {
  readonly mode: Mode;
  readonly onMode: (mode: Mode) => void;
  /** Whether there is a deck to put things on, and a picture to be scaled. */
  readonly decks: boolean;
  readonly picture?: boolean;
}

export function Tools({ mode, onMode, decks, picture }: ToolsProps) {
  const say = useSpeech(), t = say.words.tools, focus = useSignal(0);
  const all: readonly (readonly [string, Mode])[] = [[t.edit, { does: "edit" }], [t.draw, { does: "draw" }],
    ...(decks ? drops.map((what) => [say.words.kinds[what], { does: "drop", what }] as const) : []),
      ...(picture ? [[t.scale, { does: "scale" }] as const] : [])];
  const on = (m: Mode): boolean => m.does === mode.does && (m.does !== "drop" || mode.does !== "drop" || m.what === mode.what);
  return <div class="tools" role="group" aria-label={t.group} onKeyDown={(e) => rove(e, "button")}>
    {all.map(([text, m], i) => <button key={text} type="button" aria-pressed={on(m)} tabIndex={i === Math.min(focus.value, all.length - 1)
      ? 0 : -1}
      onFocus={() => void (focus.value = i)} onClick={() => onMode(m)}>{text}</button>)}
  </div>;
}

/** useHint is the sentence that a mode asks for, empty while things are moved. */
export function useHint(mode: Mode, taps: number): string {
  const say = useSpeech(), t = say.words.tools;
  if (mode.does === "draw") return taps === 0 ? t.first : t.drawing(taps);
  if (mode.does === "scale") return t.scaleFirst;
  if (mode.does !== "drop") return "";
  return tapsOf(mode) === 2 && taps === 1 ? t.jointSecond : t.drop(say.words.kinds[mode.what]);
}
