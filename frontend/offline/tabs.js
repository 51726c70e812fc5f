// Other tabs of this app on this device: told when the database changed, so that each reads it again.

const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("evenwater") : null;

export function tellTabs() {
  channel?.postMessage("changed");
}

/** @param {() => void} listener */
export function whenTabsTell(listener) {
  channel?.addEventListener("message", () => listener());
}
