// The one-file job: a page with its engine, its job and its papers inside, and no server under it.
// What stands in the file was written by the office's server (web/onefile.go).

import type { Document } from "./office";
import type { Source } from "../worker/bridge";

/** Alone is what a one-file job holds; papers are whole HTML pages by their names. */
export interface Alone {
  readonly title: string;
  readonly document: Document;
  readonly forecast: string;
  readonly firm: string;
  readonly papers: readonly { readonly name: string; readonly title: string; readonly html: string }[];
}

const text = (id: string): string | null => document.getElementById(id)?.textContent ?? null;

/** alone is the job that this file holds; null on a page of a server. */
export const alone: Alone | null = (() => {
  const job = text("gelwright-job");
  return job === null ? null : (JSON.parse(job) as Alone);
})();

/** sourceOf is the engine inside the file. */
export function sourceInside(): Source {
  const packed = atob(text("gelwright-engine") ?? "");
  const bytes = new Uint8Array(packed.length);
  for (let i = 0; i < packed.length; i++) bytes[i] = packed.charCodeAt(i);
  const script = URL.createObjectURL(new Blob([text("gelwright-worker") ?? ""], { type: "text/javascript" }));
  return { worker: () => new Worker(script), engine: bytes };
}

/** openText opens a text as a page of its own, or saves it under a name. */
export function openText(content: string, type: string, save?: string): void {
  const url = URL.createObjectURL(new Blob([content], { type }));
  if (save === undefined) {
    open(url, "_blank", "noopener");
    return;
  }
  const a = document.createElement("a");
  a.href = url;
  a.download = save;
  a.click();
}
