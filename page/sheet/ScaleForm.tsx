// How far apart are the two points of the picture?

import { useSignal } from "@preact/signals";
import { useId } from "preact/hooks";
import { useSpeech } from "./speech";

export function ScaleForm({ onLength, onLeave }: { readonly onLength: (m: number) => void; readonly onLeave: () => void }) {
  const say = useSpeech(), id = useId(), text = useSignal(""), length = say.parse(text.value), bad = text.value !== "" && length === null;
  return <form class="sheet-draft" onSubmit={(e) => {
    e.preventDefault();
    if (length !== null && length > 0) onLength(length);
  }}>
    <label class="field" for={id}><span>{say.words.tools.scaleHow}</span>
      <input id={id} type="text" inputMode="decimal" autocomplete="off" value={text.value} aria-invalid={bad ? "true" : undefined}
        onInput={(e) => void (text.value = e.currentTarget.value)} /></label>
    <button type="button" onClick={onLeave}>{say.words.tools.leave}</button>
    <button type="submit" class="act" disabled={length === null}>{say.words.tools.use}</button>
  </form>;
}
