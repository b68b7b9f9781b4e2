// A small section of each edge condition: boards, what stands there, and the laminate over them.

/** Section is a path each of what is cut (hatched), what is seen, and the laminate, in a box of 48 by 36. */
interface Section {
  readonly cut: string;
  readonly seen: string;
  readonly laminate: string;
}

const board = "M0,22H28V27H0Z";

const sections: { readonly [condition: string]: Section } = {
  drip: { cut: board, seen: "M33,27V34H43V27", laminate: "M0,20.5H29.5V32" },
  verge: { cut: board, seen: "M28,27V36", laminate: "M0,20.5H23L25,16H30V31" },
  kerb: { cut: `${board}M20,11H28V22H20Z`, seen: "M28,27V36", laminate: "M0,20.5H18.5V9.5H29.5V31" },
  wall: { cut: `${board}M31,0H45V36H31Z`, seen: "M31,7L26,10", laminate: "M0,20.5H29V9" },
  parapet: { cut: `${board}M31,9H43V36H31Z`, seen: "M28,4H46V9H28Z", laminate: "M0,20.5H29V10" },
  tuck: { cut: board, seen: "M27,13L46,1M31,15L48,4M28,27V36", laminate: "M0,20.5H27L44,9" },
  "box gutter": { cut: "M0,22H18V27H0ZM18,31H36V35H18ZM36,22H48V27H36Z", seen: "", laminate: "M0,20.5H19.5V29.5H34.5V20.5H48" },
  "step up": { cut: `${board}M30,8H48V13H30Z`, seen: "M30,13V36", laminate: "M0,20.5H28.5V6.5H48" },
  "step down": { cut: `${board}M28,31H48V36H28Z`, seen: "", laminate: "M0,20.5H29.5V27M29.5,29.5H48" },
  joins: { cut: "M0,22H48V27H0Z", seen: "M26,17.5H48", laminate: "M0,20.5H34" },
};

/** SectionPicture stands beside its word and says nothing of its own. */
export function SectionPicture({ condition }: { readonly condition: string | null }) {
  const s = condition === null ? null : sections[condition];
  return <svg class="section" viewBox="-1 -1 50 38" width="50" height="38" aria-hidden="true">
    {s ? <g><path class="section-cut" d={s.cut} /><path class="section-seen" d={s.seen} /><path class="section-laminate" d={s.laminate} />
      </g>
      : <text x="24" y="24" text-anchor="middle">?</text>}
  </svg>;
}
