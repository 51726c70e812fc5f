// Which forms hold something typed that is not saved, so that nothing takes it away unasked.
import { useEffect } from "./ui.js";
import { guardLeaving } from "./router.js";
import { words } from "./words.js";

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
