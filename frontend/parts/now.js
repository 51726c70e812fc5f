// The moment, by the server's clock as far as we know it, moved on often enough for "late" to be true.
import { useEffect, useState } from "../ui.js";
import { skewMs } from "../domain/fold.js";
import { useStore } from "../store.js";

const EVERY_MS = 15000;

/** @returns {number} ms */
export function useNow() {
  const { skew_s } = useStore();
  const [, again] = useState(0);
  useEffect(() => {
    const timer = setInterval(() => again((n) => n + 1), EVERY_MS);
    return () => clearInterval(timer);
  }, []);
  return Date.now() + skewMs(skew_s);
}
