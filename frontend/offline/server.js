// Talking to the server. An answer counts only when it is the server's own: status, JSON content type
// and our shape. A hotel's sign-in page is "not_ours", and nothing on the device changes for it.

const PATIENCE_MS = 20000;
/** 511: the network between wants a sign-in of its own (RFC 6585, section 6). */
const NETWORK_SIGN_IN = 511;
/** Below this a body fits into one packet or two as it is [characters]. */
const WORTH_PACKING = 2000;
/** Something between may drop what is packed, an older home cannot read it. So a packed call that gets no answer of
 * home's own twice in a row is followed by plain ones, and the other way round: one cut is the line's. */
let packing = true;
let unanswered = 0;

/** @typedef {{code: string, what: string, where: string, right: string}} Problem */
/** @typedef {"no_signal"|"not_ours"|"sign_in"|"refused"|"busy"} Why */
/** @typedef {{ok: true, data: any} | {ok: false, why: Why, problem: Problem|null, too_slow?: boolean}} Answer */

/** @typedef {{headers: Record<string, string>, body?: BodyInit, long: boolean}} Written   `long`: worth packing */

/** What a proxy with a limit of its own says in words of its own. @type {Problem} */
const TOO_LARGE = { code: "too_large", what: "too large for the way home", where: "$", right: "fewer entries at once" };

/** @param {"GET"|"POST"|"PUT"|"DELETE"} method @param {string} path @param {any} body undefined: none
 * @param {(data: any) => boolean} fits whether an answer has our shape; data is null when there is none
 * @returns {Promise<Answer>} */
export async function ask(method, path, body, fits) {
  const patience = new AbortController();
  const timer = setTimeout(() => patience.abort(), PATIENCE_MS);
  /** @type {Written} */
  let sent = { headers: {}, long: true };
  try {
    sent = await written(body);
    const response = await fetch(path, {
      method, redirect: "error", cache: "no-store", credentials: "same-origin", signal: patience.signal,
      headers: sent.headers, body: sent.body,
    });
    if ([400, 415].includes(response.status) && "Content-Encoding" in sent.headers) {
      packing = false;
      return await ask(method, path, body, fits);
    }
    const answer = await answerOf(response);
    heard(sent, answer.ok || answer.why !== "not_ours");
    return answer.ok && !fits(answer.data) ? { ok: false, why: "not_ours", problem: null } : answer;
  } catch {
    if (navigator.onLine) heard(sent, false);
    return { ok: false, why: "no_signal", problem: null, too_slow: patience.signal.aborted };
  } finally {
    clearTimeout(timer);
  }
}

/** The body and its headers; a long one packed, a tenth of its size on a thin line.
 * @param {any} body @returns {Promise<Written>} */
async function written(body) {
  if (body === undefined) return { headers: {}, long: false };
  const headers = { "Content-Type": "application/json" };
  const text = JSON.stringify(body);
  const long = text.length >= WORTH_PACKING && "CompressionStream" in globalThis;
  if (!long || !packing) return { headers, body: text, long };
  const stream = new Blob([text]).stream().pipeThrough(new CompressionStream("gzip"));
  return { headers: { ...headers, "Content-Encoding": "gzip" }, body: await new Response(stream).blob(), long };
}

/** Whether a long call got an answer of home's own; after two without one the next goes the other way.
 * @param {Written} sent @param {boolean} answered */
function heard({ long }, answered) {
  if (!long) return;
  unanswered = answered ? 0 : unanswered + 1;
  if (unanswered < 2) return;
  packing = !packing;
  unanswered = 0;
}

/** What home said, or that it was somebody else. @param {Response} response @returns {Promise<Answer>} */
export async function answerOf(response) {
  if (response.status === 204) return { ok: true, data: null };
  const json = (response.headers.get("Content-Type") ?? "").startsWith("application/json");
  const data = json ? await response.json().catch(() => null) : null;
  const at_home = response.status >= 500 && response.status !== NETWORK_SIGN_IN;
  if (response.status === 413) {
    return { ok: false, why: "refused", problem: typeof data?.code === "string" ? data : TOO_LARGE };
  }
  if (data === null) return { ok: false, why: at_home ? "busy" : "not_ours", problem: null };
  if (response.ok) return { ok: true, data };
  if (typeof data.code !== "string") return { ok: false, why: "not_ours", problem: null };
  if (response.status === 401) return { ok: false, why: "sign_in", problem: data };
  return { ok: false, why: response.status >= 500 || response.status === 429 ? "busy" : "refused", problem: data };
}

/** True when an answer to /api/sync is whole, and about the entries that were sent.
 * @param {any} answer @param {{id: string}[]} sent */
export function isOurs(answer, sent) {
  return typeof answer?.epoch === "string" && Number.isInteger(answer.cursor) && Array.isArray(answer.entries)
    && typeof answer.server_now === "string" && Array.isArray(answer.verdicts) && answer.verdicts.length === sent.length
    && sent.every((entry, n) => isAbout(answer.verdicts[n], entry));
}

/** @param {any} verdict @param {{id: string}} entry */
function isAbout(verdict, entry) {
  return typeof verdict?.verdict === "string" && (verdict.id === null || verdict.id === entry.id);
}
