// A pond drawn from above and from the side, its measures named as their fields are.
import { html } from "../../ui.js";
import { startWords } from "../../words/start-words.js";

const W = startWords;

/** @type {Record<string, any>} */
const FROM_ABOVE = {
  rectangle: html`<rect class="basin" x="36" y="34" width="130" height="78" />`,
  round: html`<circle class="basin" cx="101" cy="77" r="38" />`,
  oval: html`<ellipse class="basin" cx="101" cy="73" rx="65" ry="39" />`,
};
/** Where A begins and ends, from the left. @type {Record<string, [number, number]>} */
const A = { rectangle: [36, 166], round: [63, 139], oval: [36, 166] };

/** @param {{shape: string}} props */
export function BasinPicture({ shape }) {
  const pictures = /** @type {Record<string, string>} */ (W.picture);
  const [from, to] = A[shape];
  return html`<svg class="basin-picture" viewBox="0 0 340 150" role="img" aria-label=${pictures[shape]}>
    ${FROM_ABOVE[shape]}
    <${Measure} x1=${from} y1=${22} x2=${to} y2=${22} name="A" />
    ${shape !== "round" && html`<${Measure} x1=${22} y1=${34} x2=${22} y2=${112} name="B" />`}
    <path class="ground" d="M196 40 H214 M308 40 H326" />
    <path class="basin" d="M214 52 V112 H308 V52 Z" />
    <path class="wall" d="M214 34 V112 H308 V34" />
    <${Measure} x1=${261} y1=${52} x2=${261} y2=${112} name="C" />
    <text x="101" y="138">${W.from_above}</text><text x="261" y="138">${W.from_side}</text>
  </svg>`;
}

/** @param {{x1: number, y1: number, x2: number, y2: number, name: string}} props */
function Measure({ x1, y1, x2, y2, name }) {
  const lying = y1 === y2;
  const ends = lying ? `M${x1} ${y1 - 5} V${y1 + 5} M${x2} ${y1 - 5} V${y1 + 5}`
    : `M${x1 - 5} ${y1} H${x1 + 5} M${x1 - 5} ${y2} H${x1 + 5}`;
  return html`<g class="measure"><path d=${`M${x1} ${y1} L${x2} ${y2} ${ends}`} />
    <text class="letter" x=${lying ? (x1 + x2) / 2 : x1} y=${lying ? y1 + 6 : (y1 + y2) / 2 + 6}>${name}</text></g>`;
}
