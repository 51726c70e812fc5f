// Photos that go with something, small, in a row; a tap opens one large. The code is in the second script
// (photo-row.js).
import { html, steady } from "../ui.js";
import { LaterPart } from "./later-part.js";

/** A page that is drawn anew leaves its photos as they are. */
export const PhotoStrip = steady(/** @param {{sums: string[]}} props */ ({ sums }) =>
  sums.length > 0 && html`<${LaterPart} name="photo-row" sums=${sums} />`);
