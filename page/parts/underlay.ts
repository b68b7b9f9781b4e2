// What a tap on the roof does, and the picture that lies under it.

import { signal } from "@preact/signals";
import type { Mode, Underlay } from "../sheet/mode";

/** mode is what a tap on the roof does. */
export const mode = signal<Mode>({ does: "edit" });
/** underlay is a photo or a drawing under the sheet, for this page alone. */
export const underlay = signal<Underlay | null>(null);

/** scaleOf a picture that nobody has scaled yet, metres a pixel. */
const scaleOf = 0.01;

/** give lays a picture under the sheet, to be scaled by two points. */
export function give(file: File): void {
  const url = URL.createObjectURL(file), image = new Image();
  image.onload = () => {
    underlay.value = { url, width: image.naturalWidth, height: image.naturalHeight, at: { x: 0, y: 0 }, scale: scaleOf };
    mode.value = { does: "scale" };
  };
  image.src = url;
}
