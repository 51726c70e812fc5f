// Photos that go with something, small, in a row; a tap opens one large. The code is in the second script
// (photo-row.js).
import { html, useMemo } from "../ui.js";
import { LaterPart } from "./later-part.js";

/** @param {{sums: string[]}} props */
export function PhotoStrip({ sums }) {
  // The same again: a page that is drawn anew leaves its photos as they are.
  const row = useMemo(() => html`<${LaterPart} name="photo-row" sums=${sums} />`, [sums]);
  return sums.length > 0 && row;
}
