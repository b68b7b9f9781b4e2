// Values of the roof file: reading, comparing and changing them without touching the old ones.
//
// The fields of a document stand in the order of their names, always. So a field that is taken
// away and put back leaves the same bytes.

import type { Fields, Json } from "./doc";

/** isFields tells a value with fields from all others. */
export function isFields(v: Json | undefined): v is Fields {
  return typeof v === "object" && v !== null && !Array.isArray(v);
}

/** isList tells a list from all others. */
export function isList(v: Json | undefined): v is readonly Json[] {
  return Array.isArray(v);
}

/** ordered is the same value with its fields, and those within, in the order of their names. */
export function ordered(v: Json): Json {
  if (isList(v)) return v.map(ordered);
  if (!isFields(v)) return v;
  const out: { [field: string]: Json } = {};
  for (const name of Object.keys(v).sort()) out[name] = ordered(v[name]!);
  return out;
}

/** equal compares two values to the last digit; undefined is a field that is not there. */
export function equal(a: Json | undefined, b: Json | undefined): boolean {
  if (a === b) return true;
  if (isList(a)) return isList(b) && a.length === b.length && a.every((x, i) => equal(x, b[i]));
  if (!isFields(a) || !isFields(b)) return false;
  const names = Object.keys(a);
  return names.length === Object.keys(b).length && names.every((n) => n in b && equal(a[n], b[n]));
}

/** at reads the value at a path, undefined where there is none. */
export function at(v: Json | undefined, path: readonly string[]): Json | undefined {
  let here = v;
  for (const name of path) {
    if (!isFields(here) || !Object.hasOwn(here, name)) return undefined;
    here = here[name];
  }
  return here;
}

/** put writes (or, for undefined, takes away) the value at a path; null where the path has no parent to stand in. */
export function put(v: Fields, path: readonly string[], value: Json | undefined): Fields | null {
  const [name, ...rest] = path;
  if (name === undefined) return null;
  if (rest.length === 0) return putHere(v, name, value);
  const inner = Object.hasOwn(v, name) ? v[name] : undefined;
  if (!isFields(inner)) return null;
  const changed = put(inner, rest, value);
  return changed && { ...v, [name]: changed };
}

function putHere(v: Fields, name: string, value: Json | undefined): Fields {
  if (value !== undefined && Object.hasOwn(v, name)) return { ...v, [name]: value };
  const out: { [field: string]: Json } = {};
  const names = Object.keys(v).filter((n) => n !== name);
  if (value !== undefined) names.push(name);
  for (const n of names.sort()) out[n] = n === name ? value! : v[n]!;
  return out;
}

/** numberAt reads a finite number at a path. */
export function numberAt(v: Json | undefined, path: readonly string[]): number | undefined {
  const x = at(v, path);
  return typeof x === "number" && Number.isFinite(x) ? x : undefined;
}

/** textAt reads a text at a path. */
export function textAt(v: Json | undefined, path: readonly string[]): string | undefined {
  const x = at(v, path);
  return typeof x === "string" ? x : undefined;
}
