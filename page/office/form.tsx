// Fields of a sheet: what is typed is kept when the field is left, or with Enter.

import { useId, useRef } from "preact/hooks";

/** Text is a field of one line, or of several. */
export function Text({ label, value, many, type, onKeep }: { label: string; value: string; many?: boolean; type?: "date";
  onKeep: (value: string) => void }) {
  const id = useId();
  // What was handed on is not handed on again: Enter keeps it, and the field is left later.
  const seen = useRef(value), last = useRef(value);
  if (seen.current !== value) seen.current = last.current = value;
  const keep = (e: { currentTarget: HTMLInputElement | HTMLTextAreaElement }): void => {
    const now = e.currentTarget.value;
    if (now === last.current) return;
    last.current = now;
    onKeep(now);
  };
  const enter = (e: { key: string; currentTarget: HTMLInputElement }): void => { if (e.key === "Enter") keep(e); };
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {many ? <textarea id={id} rows={3} defaultValue={value} key={value} onBlur={keep} />
        : type === "date" ? <input id={id} type="date" defaultValue={value} key={value} onBlur={keep} onKeyDown={enter} />
          : <input id={id} type="text" defaultValue={value} key={value} onBlur={keep} onKeyDown={enter} />}
    </div>
  );
}

/** Choice is one of several. */
export function Choice({ label, value, of, onKeep, quiet }: { label: string; value: string; of: readonly (readonly [string, string])[];
  onKeep: (value: string) => void; quiet?: boolean }) {
  const id = useId();
  return (
    <div class="field">
      <label for={id} class={quiet ? "sr" : ""}>{label}</label>
      <select id={id} value={value} onChange={(e) => onKeep(e.currentTarget.value)}>
        {of.map(([v, name]) => <option key={v} value={v}>{name}</option>)}
      </select>
    </div>
  );
}

/** lines are the lines of a text that say something. */
export const lines = (text: string): string[] => text.split("\n").map((l) => l.trim()).filter((l) => l !== "");
