// Which part of the build-up a field belongs to, as its path says.

/** Parted is the rows of one part: "board" of spec.board.length_m, empty for what the group says of itself. */
export interface Parted<R> {
  readonly part: string;
  readonly rows: readonly R[];
}

/** owners are the parts of what the build-up says of itself, by how the names of its fields begin. */
const owners: readonly (readonly [RegExp, string])[] = [
  [/^spec\.(layers|tissue|end_lap|side_lap|upstand_layers)/, "mat"], [/^spec\.(resin|catalyst|deck_soak)/, "resin"],
  [/^spec\.(bandage|corner_bandage|trim_lap)/, "bandage"], [/^spec\.coat_/, "top_coat"], [/^spec\.aggregate/, "aggregate"],
  [/^spec\.v(oid|apour)_/, "insulation"],
];

/**
 * partOf is the part that a field belongs to: what stands in its path between its group and its name, else what its name begins with; a
 * field of a deck has no group.
 */
export function partOf(path: string, deck: boolean): string {
  return path.split(".").slice(deck ? 0 : 1, -1).join(".") || (owners.find(([begins]) => begins.test(path))?.[1] ?? "");
}

/** parted are rows by their parts: first those of none, then each part where its first row stands; rows keep their order. */
export function parted<R>(rows: readonly R[], part: (row: R) => string): readonly Parted<R>[] {
  const by = new Map<string, R[]>([["", []]]);
  for (const r of rows) by.set(part(r), [...(by.get(part(r)) ?? []), r]);
  return [...by].filter(([, list]) => list.length > 0).map(([name, list]) => ({ part: name, rows: list }));
}
