// Written by 'go run ./internal/tools/pagetypes' from the Go types of package margin; not to be edited.

export interface Act {
  readonly text: string;
  readonly field: string;
  readonly value: string;
}

export interface Answer {
  readonly engine: string;
  readonly inputs: string;
  readonly country: string;
  readonly cautions: readonly string[];
  readonly order: boolean;
  readonly headline: string;
  readonly chance: number;
  readonly target: number;
  readonly date: string;
  readonly figures: readonly Figure[];
  readonly worries: readonly Worry[];
  readonly passed: number;
  readonly taken: number;
  readonly views: readonly ViewName[];
  readonly bought: number;
  readonly buckets: number;
  readonly wet_days: number;
  readonly warnings: readonly Fault[];
}

export interface Begin {
  readonly date: string;
  readonly at: string;
  readonly p: number;
  readonly finish: string;
  readonly why: string;
}

export interface BlunderReading {
  readonly name: string;
  readonly from: string;
  readonly to: string;
  readonly angle: boolean;
  readonly value: number;
}

export interface Checked {
  readonly title: string;
  readonly where: string;
  readonly verdict: string;
  readonly finding: string;
  readonly utilisation: number;
  readonly figure: string;
  readonly standing: string;
}

export interface Day {
  readonly headline: string;
  readonly order: boolean;
  readonly chance: number;
  readonly target: number;
  readonly forecast: boolean;
  readonly passes: readonly Pass[];
  readonly pictures: readonly string[];
  readonly begins: readonly Begin[];
  readonly starts: readonly Start[];
  readonly notes: readonly string[];
}

export interface DeckGround {
  readonly name: string;
  readonly net_m2: number;
  readonly edge_m: number;
  readonly upstand_m2: number;
  readonly highest_mm: number;
  readonly corner_height_mm: readonly number[];
  readonly outline: readonly (readonly [number, number])[];
}

export interface Default {
  readonly field: string;
  readonly value: string;
  readonly why: string;
}

export interface Fact {
  readonly name: string;
  readonly value: string;
}

export interface Fault {
  readonly code: string;
  readonly path: string;
  readonly where: string;
  readonly message: string;
  readonly remedy: string;
  readonly warning: boolean;
}

export interface Field {
  readonly path: string;
  readonly deck: boolean;
  readonly doc: string;
  readonly unit: string;
  readonly choices: readonly string[];
  readonly kind: string;
  readonly example: string;
}

export interface Figure {
  readonly key: string;
  readonly value: string;
  readonly unit: string;
  readonly words: string;
  readonly step: string;
}

export interface Ground {
  readonly decks: readonly DeckGround[];
  readonly net_m2: number;
  readonly warnings: readonly Fault[];
}

export interface ImportAsk {
  readonly file: string;
  readonly data: string;
  readonly unit: string;
  readonly layer: string;
  readonly date: string;
}

export interface Imported {
  readonly roof: unknown;
  readonly notes: readonly string[];
}

export interface Mix {
  readonly number: number;
  readonly gang: string;
  readonly mix: string;
  readonly resin: string;
  readonly dose: string;
  readonly lay_by: string;
  readonly covers: string;
}

export interface NameAsk {
  readonly name: string;
}

export interface Order {
  readonly lines: readonly OrderLine[];
  readonly mass_kg: number;
  readonly cost_minor: number;
  readonly unpriced: number;
  readonly notes: readonly string[];
}

export interface OrderLine {
  readonly key: string;
  readonly kind: string;
  readonly description: string;
  readonly unit: string;
  readonly net: number;
  readonly gross: number;
  readonly packs: readonly string[];
  readonly cost_minor: number;
  readonly pieces: readonly string[];
}

export interface Pass {
  readonly deck: string;
  readonly name: string;
  readonly when: string;
  readonly kg: number;
  readonly area_m2: number;
  readonly refusal: string;
  readonly first: string;
  readonly buckets: readonly Mix[];
}

export interface Piece {
  readonly number: string;
  readonly title: string;
  readonly facts: readonly Fact[];
  readonly neighbours: readonly string[];
  readonly shapes: readonly (readonly (readonly [number, number])[])[];
  readonly figure: string;
}

export interface PieceAsk {
  readonly deck: number;
  readonly number: string;
}

export interface PlanAsk {
  readonly name: string;
  readonly text: string;
  readonly firm: string;
  readonly forecast: string;
  readonly from: string;
  readonly temp_c: number | null;
}

export interface Refusal {
  readonly kind: string;
  readonly message: string;
  readonly faults: readonly Fault[];
}

export interface RoofAsk {
  readonly name: string;
  readonly text: string;
}

export interface RoofDocument {
  readonly roof: unknown;
  readonly outlines: readonly (readonly (readonly [number, number, number])[])[];
  readonly warnings: readonly Fault[];
}

export interface RoofText {
  readonly text: string;
  readonly faults: readonly Fault[];
}

export interface Spoken {
  readonly language: string;
}

export interface Start {
  readonly date: string;
  readonly day: string;
  readonly at: string;
  readonly clock: number;
  readonly p: number;
  readonly sure: boolean;
  readonly finish: string;
}

export interface SurveyAsk {
  readonly walk: string;
  readonly lengths: readonly string[];
}

export interface Surveyed {
  readonly walk: string;
  readonly corners: readonly SurveyedCorner[];
  readonly closes: boolean;
  readonly gap_mm: number;
  readonly worst_error_mm: number;
  readonly trouble: string;
  readonly trouble_remedy: string;
  readonly doubt: string;
  readonly doubt_remedy: string;
  readonly blunder: SurveyedBlunder | null;
  readonly readings: readonly SurveyedReading[];
  readonly wanted: readonly Wanted[];
}

export interface SurveyedBlunder {
  readonly readings: readonly BlunderReading[];
  readonly instead: number;
  readonly slip: string;
  readonly explains: boolean;
}

export interface SurveyedCorner {
  readonly name: string;
  readonly x: number;
  readonly y: number;
  readonly error_mm: number;
}

export interface SurveyedReading {
  readonly name: string;
  readonly angle: boolean;
  readonly value: number;
  readonly adjusted: number;
  readonly suspect: boolean;
  readonly checked: string;
}

export interface View {
  readonly id: string;
  readonly name: string;
  readonly deck: number;
  readonly svg: string;
  readonly wide_mm: number;
  readonly high_mm: number;
  readonly per_m: number;
  readonly at_x: number;
  readonly at_y: number;
  readonly unlettered: readonly string[];
}

export interface ViewName {
  readonly id: string;
  readonly name: string;
  readonly deck: string;
  readonly office: boolean;
}

export interface Wanted {
  readonly from: string;
  readonly to: string;
  readonly length_m: number;
  readonly checks: number;
}

export interface Working {
  readonly name: string;
  readonly symbol: string;
  readonly value: string;
  readonly formula: string;
  readonly by: string;
  readonly source: string;
  readonly standing: string;
  readonly field: string;
  readonly note: string;
  readonly inputs: readonly Working[];
}

export interface Worry {
  readonly id: string;
  readonly grade: string;
  readonly title: string;
  readonly text: string;
  readonly where: string;
  readonly path: string;
  readonly advice: readonly string[];
  readonly call_for: string;
  readonly acts: readonly Act[];
  readonly flags: readonly string[];
  readonly figures: readonly string[];
  readonly clause: string;
  readonly standing: string;
}

/** Questions are all that can be asked, each with what is asked and what is answered. */
export interface Questions {
  plan: { ask: PlanAsk; answer: Answer };
  ground: { ask: RoofAsk; answer: Ground };
  view: { ask: NameAsk; answer: View };
  figure: { ask: NameAsk; answer: Working };
  piece: { ask: PieceAsk; answer: Piece };
  order: { ask: Record<string, never>; answer: Order };
  day: { ask: Record<string, never>; answer: Day };
  defaults: { ask: Record<string, never>; answer: readonly Default[] };
  checks: { ask: Record<string, never>; answer: readonly Checked[] };
  fields: { ask: Record<string, never>; answer: readonly Field[] };
  survey: { ask: SurveyAsk; answer: Surveyed };
  read: { ask: RoofAsk; answer: RoofDocument };
  write: { ask: RoofAsk; answer: RoofText };
  import: { ask: ImportAsk; answer: Imported };
  language: { ask: NameAsk; answer: Spoken };
}
