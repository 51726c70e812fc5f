// Who works this device: first start, sign-in, sign-out. What the server says is remembered, so that the
// list opens without signal; an expired sign-in never covers it.
import { transact, writeMeta } from "./offline/local-db.js";
import { ask } from "./offline/server.js";
import { flush } from "./live.js";
import { get, update } from "./store.js";

/** Ask the server where we stand. @returns {Promise<import("./offline/server.js").Answer>} */
export async function askStart() {
  const answer = await ask("GET", "/api/start");
  if (answer.ok) {
    const { state, needs_code, example, person } = answer.data;
    update(() => ({ access: state, start: { needs_code, example } }));
    if (person) await become(person);
    else if (get().person && state !== "signed_in") update(() => ({ sync: "sign_in" }));
  }
  return answer;
}

/** @param {"/api/people/first"|"/api/sign-in"|"/api/sign-in/example"} path @param {Record<string, string>} fields */
export async function enter(path, fields) {
  const answer = await ask("POST", path, { ...fields, device: get().device, device_label: deviceLabel() });
  if (answer.ok) {
    update(() => ({ access: "signed_in" }));
    await become(answer.data.person);
  }
  return answer;
}

/** @param {{id: string, name: string}} person */
async function become(person) {
  update(() => ({ person }));
  await writeMeta({ person }).catch(() => {});
  flush();
}

/** Sign out here. What the household recorded leaves this device; what waits to be sent stays. */
export async function leave() {
  const answer = await ask("POST", "/api/sign-out");
  if (!answer.ok && answer.why !== "sign_in") return answer;
  await transact(["entries", "outbox", "plan", "meta"], "readwrite", async (store) => {
    const waiting = new Set((await store("outbox").getAll()).map((/** @type {any} */ row) => row.id));
    for (const id of await store("entries").getAllKeys()) if (!waiting.has(id)) store("entries").delete(id);
    store("plan").clear();
    for (const key of ["person", "cursor", "epoch", "last_sync_at"]) store("meta").delete(key);
  });
  update((old) => ({
    access: "sign_in", person: null, plan: null, sync: "idle", last_sync_at: null,
    seen: new Map([...old.seen].filter(([id]) => old.waiting.has(id))),
  }));
  return answer;
}

/** "Chrome on Android": enough to know a device in a list. */
function deviceLabel() {
  const agent = navigator.userAgent;
  const system = ["iPhone", "iPad", "Android", "Windows", "Macintosh", "Linux"].find((name) => agent.includes(name));
  const browser = ["Edg", "Firefox", "Chrome", "Safari"].find((name) => agent.includes(name));
  return [browser === "Edg" ? "Edge" : browser, system === "Macintosh" ? "Mac" : system].filter(Boolean).join(" on ") || "A browser";
}
