// How far apart are the two points of the picture?

import { useSignal } from "@preact/signals";
import { LengthField } from "./Field";
import { useSpeech } from "./speech";

export function ScaleForm({ onLength, onLeave }: { readonly onLength: (m: number) => void; readonly onLeave: () => void }) {
  const say = useSpeech(), length = useSignal<number | null>(null);
  return <div class="sheet-draft">
    <LengthField label={say.words.tools.scaleHow} value={null} onLength={(m) => void (length.value = m)} />
    <button type="button" onClick={onLeave}>{say.words.tools.leave}</button>
    <button type="button" class="act" disabled={length.value === null} onClick={() => length.value !== null && onLength(length.value)}>{say.words.tools.use}</button>
  </div>;
}
