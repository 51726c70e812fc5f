// Few marks, drawn for this project. Each stands beside a word; alone it is hidden from screen readers.
import { html } from "../ui.js";

/** @type {Record<string, any>} */
const DRAWN = {
  round: html`<circle cx="6" cy="5" r="2" /><circle cx="18" cy="12" r="2" /><circle cx="7" cy="19" r="2" />
    <path d="M8 5c8 0 8 1 8 5M16 13c-7 1-8 2-8.5 4" />`,
  water: html`<path d="M12 3c4 5 6 8 6 11a6 6 0 0 1-12 0c0-3 2-6 6-11z" />`,
  warmth: html`<path d="M10 4a2 2 0 0 1 4 0v9a4 4 0 1 1-4 0z" /><path d="M12 9v8" />`,
  fish: html`<path d="M3 12c3-5 10-6 14-1l4-3.5v9L17 13c-4 5-11 4-14-1z" /><path d="M7.5 11v.1" />`,
  book: html`<path d="M5 4h11a3 3 0 0 1 3 3v13H8a3 3 0 0 1-3-3z" /><path d="M9 9h6M9 13h6" />`,
  done: html`<path d="M5 13l4.5 4.5L19 7" />`,
  next: html`<path d="M4 12h15M13 6l6 6-6 6" />`,
  todo: html`<circle cx="12" cy="12" r="5" />`,
  skipped: html`<path d="M6 12h12" />`,
  matters: html`<path d="M12 4v10M12 19v.1" />`,
  asked: html`<path d="M8.5 9a3.5 3.5 0 1 1 5 3.2c-1 .5-1.5 1.2-1.5 2.3M12 19v.1" />`,
  held: html`<path d="M9 8v8M15 8v8" />`,
  sent: html`<path d="M5 13l4.5 4.5L19 7" />`,
  waiting: html`<path d="M12 19V6M6.5 11.5L12 6l5.5 5.5" />`,
  unheard: html`<path d="M4 12a8 8 0 0 1 13-6M20 12a8 8 0 0 1-13 6" /><path d="M3 3l18 18" />`,
  photo: html`<path d="M4 7h4l1.5-2h5L16 7h4v12H4z" /><circle cx="12" cy="13" r="3.5" />`,
  key: html`<circle cx="8" cy="12" r="3.5" /><path d="M11.5 12H20v3M16.5 12v2.5" />`,
  aside: html`<path d="M4 13h5l1 2h4l1-2h5v6H4z" /><path d="M12 4v6M9.5 7.5L12 10l2.5-2.5" />`,
  home: html`<path d="M4 12l8-7 8 7M6.5 10.5V19h11v-8.5" />`,
  warn: html`<path d="M12 3l9.5 17h-19z" /><path d="M12 10v4M12 17.2v.1" />`,
  ring: html`<path d="M7 4l3 4-2 2.5c1 2.5 3 4.5 5.5 5.5l2.5-2 4 3c-1 3-3 4-5 3.5C9 18.5 5.5 15 3.5 9 3 7 4 5 7 4z" />`,
  look: html`<path d="M3 12c3-4.5 6-6.5 9-6.5s6 2 9 6.5c-3 4.5-6 6.5-9 6.5s-6-2-9-6.5z" />
    <circle cx="12" cy="12" r="2.5" />`,
  device: html`<rect x="7" y="3" width="10" height="18" rx="2" /><path d="M11 18h2" />`,
  pond: html`<path d="M3 15c2-2 4-2 6 0s4 2 6 0 4-2 6 0M3 9c2-2 4-2 6 0s4 2 6 0 4-2 6 0" />`,
  on: html`<path d="M9 5l7 7-7 7" />`,
  back: html`<path d="M15 5l-7 7 7 7" />`,
  in_range: html`<circle cx="12" cy="12" r="8" />`,
  drifting: html`<circle cx="12" cy="12" r="8" /><path d="M12 4a8 8 0 0 1 0 16z" fill="currentColor" />`,
  act_now: html`<rect x="4" y="4" width="16" height="16" rx="2" fill="currentColor" />`,
  not_known: html`<circle cx="12" cy="12" r="8" stroke-dasharray="3 5" />`,
  kit: html`<rect x="4" y="9" width="11" height="9" rx="2" /><path d="M15 13h5v5M8 9V5h4" />`,
  change: html`<path d="M4 8h14M14 4l4 4-4 4M20 16H6M10 12l-4 4 4 4" />`,
  letter: html`<rect x="3" y="6" width="18" height="13" rx="2" /><path d="M3.5 8l8.5 6 8.5-6" />`,
  hands: html`<circle cx="7" cy="6" r="2.5" /><circle cx="17" cy="6" r="2.5" /><path d="M3 20v-6c0-2 2-3 4-3s4 1 5 3
    c1-2 3-3 5-3s4 1 4 3v6M9 16h6M13 14l2 2-2 2" />`,
  drop: html`<path d="M12 3c4 5 6 8 6 11a6 6 0 0 1-12 0c0-3 2-6 6-11z" /><path d="M9 14h6" />`,
};

/** @param {{name: string}} props */
export function Icon({ name }) {
  return html`<svg viewBox="0 0 24 24" class=${`icon icon-${name}`} aria-hidden="true">${DRAWN[name]}</svg>`;
}
