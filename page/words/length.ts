// Lengths as people write and read them, in metres or in feet and inches. Inside, a length is
// always a number of metres.

/** Units that lengths are shown in; what is typed may bear either's units. */
export type Units = "metres" | "feet";

export const foot = 0.3048;
const inch = 0.0254;

/**
 * parseLength reads "6.2", "6,20 m", "620 cm", "6200 mm", "20' 4 1/2\"", "8 ft 6 in"; metres, null where it is none. A bare number is
 * metres, or feet where those are shown.
 */
export function parseLength(text: string, units: Units = "metres"): number | null {
  const t = text.trim().toLowerCase().replaceAll("′", "'").replaceAll("’", "'").replaceAll("″", '"').replaceAll("”", '"').replaceAll("''",
    '"').replace(/\s+/g, " ");
  const metric = /^([0-9]*[.,]?[0-9]+) ?(m|cm|mm)?$/.exec(t);
  if (metric) {
    const x = Number(metric[1]!.replace(",", "."));
    const unit = metric[2] === "m" ? 1 : metric[2] === "cm" ? 0.01 : metric[2] === "mm" ? 0.001 : units === "feet" ? foot : 1;
    return round(x * unit);
  }
  const feet = /^(?:([0-9]*[.,]?[0-9]+) ?(?:'|ft\.?|feet|foot))? ?(?:-? ?([0-9].*?) ?(?:"|in\.?|inch|inches)?)?$/.exec(t);
  if (!feet || (feet[1] === undefined && !/("|in\.?|inch|inches)$/.test(t))) return null;
  const inches = feet[2] === undefined ? 0 : parts(feet[2]);
  return inches === null ? null : round((feet[1] === undefined ? 0 : Number(feet[1].replace(",", "."))) * foot + inches * inch);
}

/** parts reads "4", "4.5", "4 1/2", "1/2". */
function parts(text: string): number | null {
  const m = /^(?:([0-9]+(?:[.,][0-9]+)?))?(?:(?:^| )([0-9]+)\/([0-9]+))?$/.exec(text);
  if (!m || (m[1] === undefined && m[2] === undefined) || m[3] === "0") return null;
  return Number((m[1] ?? "0").replace(",", ".")) + (m[2] === undefined ? 0 : Number(m[2]) / Number(m[3]));
}

/** round to a hundredth of a millimetre: what binary fractions leave behind is no length. */
const round = (m: number): number => Math.round(m * 1e5) / 1e5;

/**
 * formatLength writes metres to the centimetre, and to the millimetre where there is one: 7.20, 7.205; or feet and inches to a sixteenth:
 * 23' 7 1/2". Without unit.
 */
export function formatLength(m: number, units: Units = "metres", decimal = "."): string {
  if (units === "feet") return feetText(m);
  const mm = Math.round(Math.abs(m) * 1000), text = (mm / 1000).toFixed(mm % 10 === 0 ? 2 : 3).replace(".", decimal);
  return m < 0 && mm > 0 ? `−${text}` : text;
}

function feetText(m: number): string {
  const all = Math.round((Math.abs(m) / inch) * 16), feet = Math.floor(all / 192), inches = Math.floor((all % 192) / 16), rest = all % 16;
  const half = rest === 0 ? "" : fraction(rest);
  const within = [inches > 0 || half === "" ? String(inches) : "", half].filter((x) => x !== "").join(" ");
  return `${m < 0 && all > 0 ? "−" : ""}${feet > 0 ? `${feet}' ` : ""}${within}"`;
}

function fraction(sixteenths: number): string {
  let n = sixteenths, d = 16;
  while (n % 2 === 0) [n, d] = [n / 2, d / 2];
  return `${n}/${d}`;
}

/** withUnit is the same with its unit, as it stands in a sentence. */
export const withUnit = (m: number, units: Units = "metres", decimal = "."): string => formatLength(m, units, decimal) + (units === "metres"
  ? " m" : "");

/** formatArea writes m², to a tenth, or square feet. */
export const formatArea = (m2: number, units: Units = "metres", decimal = "."): string =>
  units === "feet" ? `${Math.round(m2 / (foot * foot))} sq ft` : `${m2.toFixed(1).replace(".", decimal)} m²`;
