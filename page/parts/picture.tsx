// Pictures that the engine drew: read as SVG, never as HTML.

import { useEffect, useRef } from "preact/hooks";

type Shown = { readonly kind: "svg"; readonly svg: string } | { readonly kind: "bar"; readonly share: number };

/** svgOf reads an SVG text into a node of this document. */
export function svgOf(text: string): SVGSVGElement | null {
  const root = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  return root.nodeName === "svg" ? (document.importNode(root, true) as unknown as SVGSVGElement) : null;
}

/** Picture shows a drawing of the engine, or a share as a bar. */
export function Picture(p: Shown) {
  const at = useRef<HTMLDivElement>(null);
  const text = p.kind === "svg" ? p.svg : "";
  useEffect(() => {
    const node = text ? svgOf(text) : null;
    if (at.current && node) at.current.replaceChildren(node);
  }, [text]);
  if (p.kind === "bar") return <svg viewBox="0 0 100 6" preserveAspectRatio="none"><rect class="bar-all" width="100" height="6" /><rect
    class="bar-part" width={100 * p.share} height="6" /></svg>;
  return <div class="picture" ref={at} />;
}
