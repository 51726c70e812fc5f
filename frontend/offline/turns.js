// One run at a time, once more when asked for meanwhile, and later by itself: what every lane to home has in common.

export const FIRST_PAUSE_MS = 2000;
const LONGEST_PAUSE_MS = 300_000;

/** @param {() => Promise<any>} run */
export function makeTurns(run) {
  let running = false;
  let again = false;
  let pause_ms = FIRST_PAUSE_MS;
  /** @type {ReturnType<typeof setTimeout>|undefined} */
  let timer;

  /** Run now; asked for during a run, once more after it. */
  async function flush() {
    if (running) {
      again = true;
      return;
    }
    running = true;
    clearTimeout(timer);
    try {
      do {
        again = false;
        await run();
      } while (again);
    } finally {
      running = false;
    }
  }

  /** @param {number} ms */
  function later(ms) {
    clearTimeout(timer);
    timer = setTimeout(flush, ms);
  }

  /** Nothing got through: later, after a pause that grows each time. */
  function afterPause() {
    later(pause_ms * (0.5 + Math.random()));
    pause_ms = Math.min(pause_ms * 2, LONGEST_PAUSE_MS);
  }

  /** Something got through: the next pause is a short one again. */
  function wayIsOpen() {
    pause_ms = FIRST_PAUSE_MS;
  }

  /** A reason to hope the way is open again: no need to wait out the pause. */
  function hopeful() {
    wayIsOpen();
    return flush();
  }

  return { flush, later, afterPause, wayIsOpen, hopeful };
}
