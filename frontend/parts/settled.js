// What changes on the screen only once the hand is off it.
import { useEffect, useState } from "../ui.js";

const CALM_MS = 600;
let touched_at = -Infinity;
for (const kind of ["pointerdown", "pointermove", "pointerup", "pointercancel", "scroll", "keydown"]) {
  addEventListener(kind, () => { touched_at = performance.now(); }, { capture: true, passive: true });
}

/** `wanted`, but changing only once the screen has been left alone.
 * @template T @param {T} wanted @returns {[T, (now: T) => void]} what stands, and a way to change it at once */
export function useSettled(wanted) {
  const [stands, change] = useState(wanted);
  useEffect(() => {
    if (wanted === stands) return undefined;
    const began = performance.now();
    /** @type {ReturnType<typeof setTimeout>} */
    let timer;
    const look = () => {
      const left = CALM_MS - (performance.now() - Math.max(began, touched_at));
      if (left <= 0) change(() => wanted);
      else timer = setTimeout(look, left);
    };
    timer = setTimeout(look, CALM_MS);
    return () => clearTimeout(timer);
  }, [wanted, stands]);
  return [stands, (now) => change(() => now)];
}
