// Photos that go with something, small, in a row; a tap opens one large. The code is in the second script
// (photo-row.js).
import { html } from "../ui.js";
import { LaterPart } from "./later-part.js";

/** @param {{sums: string[]}} props */
export function PhotoStrip({ sums }) {
  return sums.length > 0 && html`<${LaterPart} name="photo-row" sums=${sums} />`;
}
