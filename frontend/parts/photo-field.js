// Photos to go with something that is about to be recorded; the code is in the second script (photo-picker.js).
import { html } from "../ui.js";
import { LaterPart } from "./later-part.js";

/** Hand over `sums` and keep what `onChange` tells; put them into the entry as `photos`, or the one as a standing job's
 * `picture` (`most` is 1 then). The photos are sent as soon as that entry is recorded. A photo of something recorded
 * already goes with a note of its own.
 * @param {{sums: string[], onChange: (sums: string[]) => void, most?: number, waits?: boolean}} props */
export function PhotoField(props) {
  return html`<${LaterPart} name="photo-picker" ...${props} />`;
}
