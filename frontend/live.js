// Keeps what is on the screen true to the database on this device, and both to the server.
import { skewMs } from "./domain/fold.js";
import { withUnsent } from "./domain/settings.js";
import { clock } from "./formats.js";
import { fetchLater } from "./later-pages.js";
import { forgetOld, mergedHead, putBack } from "./offline/apply.js";
import { claimDevice, readAll, transact, whenClosed, writeMeta } from "./offline/local-db.js";
import { deviceId, heldCount, heldEntries } from "./offline/outbox.js";
import { ask } from "./offline/server.js";
import { makeSync, whenHopeful, whenTabsTell } from "./offline/sync.js";
import { whenRecorded, zoneOf } from "./record.js";
import { APP_VERSION, get, update } from "./store.js";
import { words } from "./words.js";

const FORGET_AFTER_MS = 10_000;

/** @type {ReturnType<typeof makeSync>|null} */
let sync = null;

/** Read this device, show it, and start sending. */
export async function begin() {
  try {
    await readDevice();
  } catch {
    update(() => ({ ready: true, device: get().device || deviceId(), trouble: words.storage.broken }));
  }
  const { device } = get();
  const author = () => get().person?.id ?? null;
  sync = makeSync({ device, app_version: APP_VERSION, author, listener: { state, changed, emptied: recover } });
  const { recorded, hopeful } = sync;
  whenRecorded((entries) => {
    recorded();
    beside?.recorded(entries);
  });
  whenHopeful(() => {
    hopeful();
    beside?.hopeful();
  });
  whenTabsTell(() => readDevice().then(beside?.again).catch(() => {}));
  whenClosed(recover);
  // It reads all there is once more, and may wait until the round is on the screen.
  setTimeout(forget, FORGET_AFTER_MS);
  flush();
}

/** What else this device sends, in a lane of its own: photos. It comes with the second script, which is fetched when
 * photos wait, when one is to be shown or taken, and when those here may have to be sent again.
 * @typedef {object} Beside
 * @property {() => Promise<void>} begin
 * @property {(entries: import("./domain/types.js").Entry[]) => void} recorded
 * @property {() => void} hopeful
 * @property {() => Promise<void>} again     another tab has changed something
 * @property {(epoch: string) => void} met   home's log is that one
 * @property {() => Promise<void>} left      nobody is signed in any more
 */

/** @type {Beside|null} */
let beside = null;

/** @param {Beside} lane */
export function joinBeside(lane) {
  beside = lane;
  lane.begin();
}

/** Have photos seen to, now or when this device is next looked at. */
function seeToPhotos() {
  writeMeta({ photos_wait: true }).catch(() => {});
  if (!beside) fetchLater();
}

/** Let go of what is older than a device keeps, by home's clock: this phone's may be years ahead. */
function forget() {
  const { last_sync_at } = get();
  if (last_sync_at) forgetOld(last_sync_at.slice(0, 10)).catch(() => {});
}

/** Send and fetch now, if somebody is signed in. */
export function flush() {
  return sync?.hopeful();
}

async function readDevice() {
  const { entries, outbox, set_aside, plan, meta } = await readAll();
  if (!meta.device && get().device) await recover();
  else if (!meta.device) await claimDevice(deviceId()).then(readDevice);
  else {
    if (meta.photos_wait) fetchLater();
    const { head, ...days } = plan;
    const held = heldEntries();
    const sending = new Set(outbox.map((row) => row.id));
    const unsent = [...entries.filter((one) => sending.has(one.id)), ...held].map((one) => one.entry);
    update((old) => ({
      ready: true, device: meta.device, person: meta.person ?? old.person, skew_s: meta.skew_s ?? 0,
      last_sync_at: meta.last_sync_at ?? null,
      seen: new Map([...entries, ...held, ...meta.trial ?? []].map((one) => [one.id, one])),
      trial: meta.trial ?? [], helps: meta.helps ?? null,
      waiting: new Set([...outbox, ...held].map((row) => row.id)),
      deferred: new Set(outbox.filter((row) => row.deferred).map((row) => row.id)),
      set_aside, plan: head ? { ...head, ponds: withUnsent(head.ponds, unsent), days: sorted(days) } : null,
    }));
  }
}

/** @param {Record<string, import("./domain/types.js").Day>} days */
function sorted(days) {
  return Object.values(days).sort((a, b) => (a.date < b.date ? -1 : 1));
}

/** @type {import("./offline/sync.js").Listener["state"]} */
function state(now, problem = null) {
  // Trying once more does not take the way to the sign-in from under the finger.
  update((old) => ({
    sync: now === "sending" && old.sync === "sign_in" ? old.sync : now, problem, unstored: heldCount(),
  }));
}

/** @type {import("./offline/sync.js").Listener["changed"]} */
function changed(changes, stored) {
  if (changes.new_epoch) seeToPhotos();
  beside?.met(changes.meta.epoch);
  if (changes.new_epoch && stored) return void readDevice().catch(() => {});
  update((old) => {
    const seen = new Map(old.seen);
    for (const one of changes.put) seen.set(one.id, one);
    for (const one of changes.aside) seen.delete(one.id);
    const settled = new Set(changes.settled);
    const waiting = new Set([...old.waiting].filter((id) => !settled.has(id)));
    // What was set while the call was under way is not in the plan it brought.
    const unsent = [...waiting].flatMap((id) => seen.get(id)?.entry ?? []);
    return {
      seen, waiting, skew_s: changes.meta.skew_s, last_sync_at: changes.meta.last_sync_at,
      deferred: new Set([...old.deferred].filter((id) => !settled.has(id)).concat(changes.deferred)),
      set_aside: [...old.set_aside, ...changes.aside], plan: merged(old.plan, changes.plan, unsent),
      unstored: heldCount(),
    };
  });
  return undefined;
}

/** The plan on the device with the days that changed, and what was set since.
 * @param {import("./domain/types.js").Plan|null} old @param {any} news
 * @param {import("./domain/types.js").Entry[]} unsent */
function merged(old, news, unsent) {
  if (!news) return old;
  /** @type {Record<string, import("./domain/types.js").Day>} */
  const days = {};
  for (const day of [...(old?.days ?? []), ...news.days]) days[day.date] = day;
  const head = mergedHead(old, news);
  return { ...head, ponds: withUnsent(head.ponds, unsent), days: sorted(days) };
}

/** The browser cleared our storage while we were open. What this page still knows goes back in; the cursor does
 * not, so that everything is fetched anew. */
async function recover() {
  const before = get();
  try {
    const { meta } = await readAll();
    if (meta.device === before.device) return;
    const unsent = [...before.seen.values()].filter((one) => before.waiting.has(one.id));
    await putBack(before, unsent);
    const at = new Date(Date.now() + skewMs(before.skew_s)).toISOString();
    update(() => ({ trouble: words.storage.cleared(clock(at, zoneOf()), unsent.length) }));
    await readDevice();
  } catch {
    update(() => ({ trouble: words.storage.broken }));
  }
  flush();
}

const STATES = new Set(["first_start", "sign_in", "signed_in", "over"]);

/** Ask the server where we stand. @returns {Promise<import("./offline/server.js").Answer>} */
export async function askStart() {
  const answer = await ask("GET", "/api/start", undefined, (data) => STATES.has(data?.state));
  if (answer.ok) {
    const { state, needs_code, example, person, over = null } = answer.data;
    update(() => ({ access: state, ended: over, start: { needs_code, example } }));
    if (person) await become(person);
    else if (get().person && state !== "signed_in") update(() => ({ sync: "sign_in" }));
  }
  return answer;
}

/** @param {"/api/people/first"|"/api/sign-in"|"/api/sign-in/example"|"/api/helper/bind"} path
 * @param {Record<string, string>} fields @param {() => Promise<void>} [first] before the device becomes theirs */
export async function enter(path, fields, first) {
  const whole = { ...fields, device: get().device, device_label: deviceLabel() };
  const answer = await ask("POST", path, whole, (data) => typeof data?.person?.id === "string");
  if (answer.ok) {
    await first?.();
    update(() => ({ access: "signed_in", sync: "idle" }));
    await become(answer.data.person);
  }
  return answer;
}

/** @param {import("./store.js").Who} person */
async function become(person) {
  update(() => ({ person }));
  await writeMeta({ person }).catch(() => {});
  flush();
  beside?.hopeful();
}

/** Sign out here. What the household recorded leaves this device; what waits to be sent stays. */
export async function leave() {
  const answer = await ask("POST", "/api/sign-out", undefined, (data) => data === null);
  if (!answer.ok && answer.why !== "sign_in") return answer;
  await letRoundGo(["person"]);
  update(() => ({ access: "sign_in", person: null, sync: "idle" }));
  await beside?.left();
  if (!beside) seeToPhotos();
  return answer;
}

/** What the household recorded leaves this device; what waits to be sent stays.
 * @param {string[]} more what else is forgotten of meta */
export async function letRoundGo(more) {
  sync?.drop();
  await transact(["entries", "outbox", "plan", "meta"], "readwrite", async (store) => {
    const waiting = new Set((await store("outbox").getAll()).map((row) => row.id));
    for (const id of await store("entries").getAllKeys()) if (!waiting.has(id)) store("entries").delete(id);
    store("plan").clear();
    for (const key of ["cursor", "epoch", "last_sync_at", "trial", ...more]) store("meta").delete(key);
  });
  update((old) => ({
    plan: null, last_sync_at: null, trial: [], seen: new Map([...old.seen].filter(([id]) => old.waiting.has(id))),
  }));
}

/** "Chrome on Android": enough to know a device in a list. */
function deviceLabel() {
  const agent = navigator.userAgent;
  const system = ["iPhone", "iPad", "Android", "Windows", "Mac", "Linux"].find((name) => agent.includes(name));
  const browser = ["Firefox", "Chrome", "Safari"].find((name) => agent.includes(name));
  return [browser, system].filter(Boolean).join(" on ") || "A browser";
}
