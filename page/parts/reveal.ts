// What is chosen on the sheet is brought to hand in the margin.

/** reveal scrolls the margin to the row that is open, once it stands there. */
export function reveal(): void {
  requestAnimationFrame(() => document.querySelector(".roof-list li.open")?.scrollIntoView({ block: "start" }));
}
