// One Tab stop for a group: the arrows go round within it, Home and End to its ends.

import type { TargetedKeyboardEvent } from "preact";

/** rove moves the focus within a group by the keys of one direction or both; others are left alone. */
export function rove(e: TargetedKeyboardEvent<HTMLElement>, which: string, way: "row" | "column" | "both" = "both"): void {
  const forth = (way !== "column" && e.key === "ArrowRight") || (way !== "row" && e.key === "ArrowDown");
  const back = (way !== "column" && e.key === "ArrowLeft") || (way !== "row" && e.key === "ArrowUp");
  if (!forth && !back && e.key !== "Home" && e.key !== "End") return;
  const items = [...e.currentTarget.querySelectorAll<HTMLElement>(which)], here = items.indexOf(document.activeElement as HTMLElement);
  if (here < 0) return;
  e.preventDefault();
  const to = e.key === "Home" ? 0 : e.key === "End" ? items.length - 1 : (here + (forth ? 1 : -1) + items.length) % items.length;
  items[to]?.focus();
}
