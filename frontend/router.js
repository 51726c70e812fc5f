// Which page is shown, kept in the address so that Back, reload and a link all work, offline too; and which forms
// hold something typed that is not saved, so that nothing takes it away unasked.
import { useEffect, useState } from "./ui.js";
import { words } from "./words.js";

const PAGES = new Set(["round", "water", "warmth", "fish", "past", "book", "jobs", "kit", "changes", "scores", "year",
  "device", "pond", "to-tell", "sign-in", "hand-overs", "reach", "report", "h", "things"]);

/** @typedef {{page: string, query: URLSearchParams}} Place */

/** @returns {Place} */
export function here() {
  const page = location.pathname.slice(1);
  return { page: PAGES.has(page) ? page : "round", query: new URLSearchParams(location.search) };
}

/** @type {() => boolean} */
let mayLeave = () => true;

/** Ask before leaving what is half typed. @param {(() => boolean)|null} test */
function guardLeaving(test) {
  mayLeave = test ?? (() => true);
}

/** @param {string} to a path of this app, "/water?add" @param {boolean} [saved] what was typed is kept already */
export function go(to, saved = false) {
  if (!saved && !mayLeave()) return;
  history.pushState(null, "", to);
  dispatchEvent(new Event("popstate"));
  scrollTo(0, 0);
}

/** Where a form goes back to: the page that led to it, where the address names one. @param {string} back else */
export function cameFrom(back) {
  const from = new URLSearchParams(location.search).get("from") ?? "";
  return PAGES.has(from) ? `/${from}` : back;
}

/** Follow a link inside the app without leaving the page. @param {MouseEvent} event */
export function follow(event) {
  const link = /** @type {HTMLElement} */ (event.target).closest("a");
  if (!link || link.origin !== location.origin || link.target || event.metaKey || event.ctrlKey) return;
  if (!PAGES.has(link.pathname.slice(1))) return;
  event.preventDefault();
  go(link.pathname + link.search);
}

/** @returns {Place} */
export function usePlace() {
  const [place, move] = useState(here);
  useEffect(() => {
    const listener = () => move(here());
    addEventListener("popstate", listener);
    return () => removeEventListener("popstate", listener);
  }, []);
  return place;
}

/** @type {Set<symbol>} */
const open = new Set();

export function isHalfTyped() {
  return open.size > 0;
}

/** Mark a form as half typed while `dirty` holds. @param {boolean} dirty */
export function useHalfTyped(dirty) {
  useEffect(() => {
    if (!dirty) return undefined;
    const mark = Symbol("form");
    open.add(mark);
    return () => void open.delete(mark);
  }, [dirty]);
}

/** The person agreed to lose it: nothing asks a second time. */
export function letTypingGo() {
  open.clear();
}

export function guardTyping() {
  guardLeaving(() => !isHalfTyped() || confirm(words.leave.half_typed));
  addEventListener("beforeunload", (event) => {
    if (isHalfTyped()) event.preventDefault();
  });
}
