// Fields of the list: what is typed is held while it is typed, and becomes an act when the field
// is left or Enter is pressed. Escape brings back what was.

import { useSignal } from "@preact/signals";
import { useId } from "preact/hooks";
import { useSpeech } from "./speech";

interface Typed<T> {
  readonly label: string;
  readonly text: string;
  readonly read: (text: string) => T | null;
  readonly onValue: (v: T) => void;
  readonly fault: string;
  readonly wide?: boolean;
  readonly numeric?: boolean;
}

function TypedField<T>({ label, text, read, onValue, fault, wide, numeric }: Typed<T>) {
  const id = useId(), { units } = useSpeech(), typed = useSignal<string | null>(null), bad = typed.value !== null && typed.value !== text
    && read(typed.value) === null;
  const leave = (): void => {
    const v = typed.value === null || typed.value === text ? null : read(typed.value);
    if (v === null && bad) return;
    typed.value = null;
    if (v !== null) onValue(v);
  };
  return <label class={wide ? "field wide" : "field"} for={id}>
    <span>{label}</span>
    <input id={id} type="text" inputMode={numeric && units === "metres" ? "decimal" : "text"} autocomplete="off" value={typed.value ?? text}
      aria-invalid={bad ? "true" : undefined}
      aria-describedby={bad ? `${id}-fault` : undefined} onInput={(e) => void (typed.value = e.currentTarget.value)} onBlur={leave}
      onKeyDown={(e) => {
        if (e.key === "Enter") leave();
        if (e.key === "Escape" && typed.value !== null) {
          e.stopPropagation();
          typed.value = null;
        }
      }} />
    {bad && <small id={`${id}-fault`} class="fault">{fault}</small>}
  </label>;
}

/** LengthField reads a length as it is written, in metres. */
export function LengthField({ label, value, onLength }: { readonly label: string; readonly value: number | null;
  readonly onLength: (m: number) => void }) {
  const say = useSpeech();
  const signed = (t: string): number | null => {
    const m = say.parse(t.replace(/^\s*[-−]/, ""));
    return m === null ? null : /^\s*[-−]/.test(t) ? -m : m;
  };
  return <TypedField label={label} text={value === null ? "" : say.length(value)} read={signed} onValue={onLength}
    fault={say.words.list.badLength} numeric />;
}

/** NumberField reads a number; an empty field says that nothing is known. */
export function NumberField({ label, value, onNumber }: { readonly label: string; readonly value: number | undefined;
  readonly onNumber: (x: number | undefined) => void }) {
  const say = useSpeech();
  const read = (t: string): { readonly x: number | undefined } | null => {
    const text = t.trim().replace(",", ".").replace("−", "-");
    if (text === "") return { x: undefined };
    const x = Number(text);
    return Number.isFinite(x) ? { x } : null;
  };
  return <TypedField label={label} text={value === undefined ? "" : String(value).replace(".", say.decimal)} read={read}
    onValue={(v) => onNumber(v.x)}
    fault={say.words.list.badNumber} numeric />;
}

/** TextField reads words; an empty field says nothing. */
export function TextField({ label, value, onText, wide }: { readonly label: string; readonly value: string; readonly onText: (t: string) =>
  void; readonly wide?: boolean }) {
  return <TypedField label={label} text={value} read={(t) => t.trim()} onValue={onText} fault="" {...(wide ? { wide } : {})} />;
}

/** SelectField chooses one of several words. */
export function SelectField<K extends string>({ label, value, options, onChoose }: {
  readonly label: string; readonly value: K; readonly options: readonly (readonly [K, string])[]; readonly onChoose: (v: K) => void }) {
  const id = useId();
  return <label class="field" for={id}>
    <span>{label}</span>
    <select id={id} value={value} onChange={(e) => onChoose(e.currentTarget.value as K)}>
      {options.map(([key, text]) => <option key={key} value={key}>{text}</option>)}
    </select>
  </label>;
}

/** CheckField says yes or no. */
export function CheckField({ label, value, onChange }: { readonly label: string; readonly value: boolean; readonly onChange: (v: boolean) =>
  void }) {
  return <label class="field check"><input type="checkbox" checked={value} onChange={(e) => onChange(e.currentTarget.checked)} />
    <span>{label}</span></label>;
}
