// What this device alone remembers of how its person likes it. Storage may be barred: then it is forgotten, no more.

/** @param {string} key @returns {string|null} */
export function recall(key) {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
}

/** @param {string} key @param {string|null} value   null: forget it */
export function remember(key, value) {
  try {
    if (value === null) localStorage.removeItem(key);
    else localStorage.setItem(key, value);
  } catch {
    // It lasts until the page is closed.
  }
}
