// The roof itself on the page: the sheet of what is drawn, with the engine's drawing and the worries on it.

import type { Session } from "../session/session";

/** Roof is the drawing. */
export function Roof({ session }: { session: Session }) {
  return <svg class="roof" role="group" aria-label={String(session.doc.value.fields["name"] ?? "")} />;
}
