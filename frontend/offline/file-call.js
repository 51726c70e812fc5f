// Sending a whole file home and saying how far it is, or asking for what takes longer than other calls are given.
// By XMLHttpRequest, because fetch does not tell of an upload.

/** @typedef {import("./server.js").Answer} Answer */

/** @param {string} path @param {Blob} file @param {(share: number) => void} onSent from 0 to 1
 * @param {(data: any) => boolean} fits whether an answer has our shape @returns {Promise<Answer>} */
export function sendFile(path, file, onSent, fits) {
  return new Promise((tell) => {
    const call = new XMLHttpRequest();
    const failed = () => tell({ ok: false, why: "no_signal", problem: null });
    call.open("POST", path);
    call.responseType = "text";
    call.setRequestHeader("Content-Type", file.type || "text/csv");
    call.upload.addEventListener("progress", (event) => onSent(event.total ? event.loaded / event.total : 1));
    call.upload.addEventListener("load", () => onSent(1));
    call.addEventListener("load", () => tell(read(call, fits)));
    for (const event of ["error", "abort", "timeout"]) call.addEventListener(event, failed);
    call.send(file);
  });
}

/** @param {XMLHttpRequest} call @param {(data: any) => boolean} fits @returns {Answer} */
function read(call, fits) {
  let data = null;
  try {
    data = JSON.parse(call.responseText);
  } catch {
    // A page of something between: not ours.
  }
  if (call.status === 200 && fits(data)) return { ok: true, data };
  const home = call.status >= 500;
  if (typeof data?.code !== "string") return { ok: false, why: home ? "busy" : "not_ours", problem: null };
  if (call.status === 401) return { ok: false, why: "sign_in", problem: data };
  return { ok: false, why: home ? "busy" : "refused", problem: data };
}
