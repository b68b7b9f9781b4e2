// The fields of one opening, pipe, outlet or joint of the list.

import { useSignal } from "@preact/signals";
import { movePiece, removePiece, repeatPiece, setPiece, sizePiece } from "../model/commands";
import type { Deck, Json, Piece } from "../model/doc";
import { freshIds, type PieceList } from "../model/find";
import { minus } from "../model/geometry";
import { numberAt, textAt } from "../model/json";
import { extentOf, offBy, offsetsOf, openingKinds, penetrationKinds } from "../model/pieces";
import type { Acting } from "./EdgeList";
import { CheckField, LengthField, NumberField, SelectField, TextField } from "./Field";
import { handlesOf } from "./gesture";
import { conditionName, conditionOf } from "./marks";
import { useSpeech } from "./speech";

export function PieceFields({ deck, piece, list: of, acting, kind }: {
  readonly deck: Deck; readonly piece: Piece; readonly list: PieceList; readonly acting: Acting; readonly kind: string }) {
  const say = useSpeech(), list = say.words.list, f = piece.fields, { low, high } = extentOf(of, piece),
    kinds: { readonly [kind: string]: string } = say.words.kinds;
  const set = (field: string, value: Json | undefined): void => acting(setPiece, { piece: piece.id, field, value });
  const move = (x: number, y: number): void => acting(movePiece, { piece: piece.id, by: minus({ x, y }, low) });
  const size = (w: number, d: number): void => acting(sizePiece, { piece: piece.id, from: low, to: { x: low.x + w, y: low.y + d } });
  const round = numberAt(f, ["diameter_m"]), words = of === "openings" ? openingKinds : penetrationKinds;
  if (of === "movement_joints") return <JointFields piece={piece} acting={acting} />;
  return <>
    <SelectField label={list.kind} value={textAt(f, ["kind"]) ?? ""} options={words.map((k) => [k, kinds[k] ?? k] as const)}
      onChoose={(v) => set("kind", v)} />
    <TextField label={list.name} value={textAt(f, ["name"]) ?? ""} onText={(t) => set("name", t === "" ? undefined : t)} />
    {offsetsOf(deck, of, piece).map((o) => <LengthField key={o.edge} label={list.off(o.edge + 1, conditionName(say.words,
      conditionOf(deck.corners[o.edge]!.edge), "name"))} value={o.gap}
      onLength={(gap) => acting(movePiece, { piece: piece.id, by: offBy(deck, o, gap) })} />)}
    <LengthField label={list.x} value={low.x} onLength={(x) => move(x, low.y)} />
    <LengthField label={list.y} value={low.y} onLength={(y) => move(low.x, y)} />
    {of === "openings" && round === undefined && <LengthField label={list.across} value={high.x - low.x}
      onLength={(w) => size(w, high.y - low.y)} />}
    {of === "openings" && round === undefined && <LengthField label={list.along} value={high.y - low.y}
      onLength={(d) => size(high.x - low.x, d)} />}
    {of === "openings" && round !== undefined && <LengthField label={list.diameter} value={round} onLength={(m) => set("diameter_m", m)} />}
    {of === "openings" && <NumberField label={list.kerb} value={numberAt(f, ["kerb_mm"])} onNumber={(x) => set("kerb_mm", x)} />}
    {of === "openings" && <CheckField label={list.fragile} value={f["fragile"] === true} onChange={(v) => set("fragile", v ? true
      : undefined)} />}
    {of === "penetrations" && <NumberField label={list.bore} value={numberAt(f, ["diameter_mm"])} onNumber={(x) => set("diameter_mm",
      x)} />}
    {of === "openings" && <Repeat piece={piece} acting={acting} wide={{ x: high.x - low.x, y: high.y - low.y }} />}
    <div class="acts"><button type="button" aria-label={`${list.remove}: ${kind}`} onClick={() => acting(removePiece,
      { piece: piece.id })}>{list.remove}</button></div>
  </>;
}

function JointFields({ piece, acting }: { readonly piece: Piece; readonly acting: Acting }) {
  const say = useSpeech(), list = say.words.list, ends = handlesOf("movement_joints", piece);
  const put = (i: number, x: number, y: number): void => {
    const next = ends.with(i, { x, y });
    acting(sizePiece, { piece: piece.id, from: next[0]!, to: next[1]! });
  };
  return <>
    {ends.map((p, i) => <fieldset key={i} class="pair"><legend>{list.lineEnd(i + 1)}</legend>
      <LengthField label={list.x} value={p.x} onLength={(x) => put(i, x, p.y)} />
      <LengthField label={list.y} value={p.y} onLength={(y) => put(i, p.x, y)} />
    </fieldset>)}
    <div class="acts"><button type="button" onClick={() => acting(removePiece, { piece: piece.id })}>{list.remove}</button></div>
  </>;
}

/** Repeat stands the same opening in rows, as the rooflights of a hall. */
function Repeat({ piece, acting, wide }: { readonly piece: Piece; readonly acting: Acting; readonly wide: { readonly x: number;
  readonly y: number } }) {
  const list = useSpeech().words.list, n = useSignal({ across: 1, up: 1 }), apart = useSignal({ x: 3 * wide.x, y: 3 * wide.y }),
    { across, up } = n.value;
  return <details class="repeat"><summary>{list.repeat}</summary><div class="pair">
    <NumberField label={list.inRow} value={across} onNumber={(x) => { n.value = { across: x ?? 1, up }; }} />
    <LengthField label={list.rowApart} value={apart.value.x} onLength={(x) => { apart.value = { ...apart.value, x }; }} />
    <NumberField label={list.rows} value={up} onNumber={(x) => { n.value = { across, up: x ?? 1 }; }} />
    <LengthField label={list.rowsApart} value={apart.value.y} onLength={(y) => { apart.value = { ...apart.value, y }; }} />
  </div><div class="acts"><button type="button" onClick={() => {
    if (across * up > 1) acting(repeatPiece, { piece: piece.id, across, up, apart: apart.value, fresh: freshIds });
  }}>{list.repeatNow(across * up)}</button></div></details>;
}
