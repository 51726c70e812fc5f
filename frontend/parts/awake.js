// The screen kept awake while something is going on that must stay in sight, where the platform can.
import { useEffect } from "../ui.js";

/** A browser lets go of it whenever the page is out of sight; it is asked for again when the page is back.
 * @param {boolean} wanted */
export function useAwake(wanted) {
  useEffect(() => {
    if (!wanted || !navigator.wakeLock) return undefined;
    /** @type {WakeLockSentinel|null} */
    let lock = null;
    let over = false;
    const ask = async () => {
      if (document.visibilityState !== "visible") return;
      try {
        lock = await navigator.wakeLock.request("screen");
        if (over) lock.release();
      } catch {
        lock = null; // a phone that saves its battery refuses; the clock runs on all the same
      }
    };
    ask();
    document.addEventListener("visibilitychange", ask);
    return () => {
      over = true;
      document.removeEventListener("visibilitychange", ask);
      lock?.release().catch(() => {});
    };
  }, [wanted]);
}
