// The moment, by the server's clock as far as we know it, moved on often enough for "late" to be true.
import { useEffect, useState } from "../ui.js";
import { skewMs } from "../domain/fold.js";
import { useStore } from "../store.js";

const EVERY_MS = 15000;

/** A skew too small to correct entries by is still added when this clock is behind: a dose that another person gave
 * this very minute must not seem to lie in the future. @returns {number} ms */
export function useNow() {
  const { skew_s } = useStore();
  const [, again] = useState(0);
  useEffect(() => {
    const timer = setInterval(() => again((n) => n + 1), EVERY_MS);
    return () => clearInterval(timer);
  }, []);
  return Date.now() + (skewMs(skew_s) || Math.max(0, skew_s * 1000));
}
