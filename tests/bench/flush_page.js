// Runs in a page, without signal: write entries, and when the line comes back tell how long it took until the
// server had confirmed them all. The same for both sides; only `write` and `sent` differ.
//
// ours   the app's own page: record() is what every button calls; the app sends by itself when the line is back
// pouch  PouchDB over IndexedDB, replicating to express-pouchdb with its defaults (batches of 100, as ours)
({
  ours: {
    async write(entries) {
      const { record } = (await import("/main.js")).modules["/record.js"];
      await record(entries);
    },
    async sent() {
      const { get } = (await import("/main.js")).modules["/store.js"];
      while (get().waiting.size > 0) await new Promise((on) => setTimeout(on, 4));
    },
  },
  pouch: {
    async write(entries) {
      globalThis.local = new PouchDB("round");
      await globalThis.local.bulkDocs(entries.map(({ id, ...rest }) => ({ _id: id, ...rest })));
    },
    async sent() {
      const remote = new PouchDB(location.origin + "/round", { skip_setup: true });
      const told = await globalThis.local.replicate.to(remote);
      if (!told.ok || told.doc_write_failures) throw new Error(JSON.stringify(told));
    },
  },
  /** @returns ms to write; `globalThis.flushed` then promises the ms from the line's return to the last confirmation */
  async start(side, entries) {
    const before = performance.now();
    await side.write(entries);
    const wrote_ms = performance.now() - before;
    globalThis.flushed = new Promise((done, fail) => {
      addEventListener("online", async () => {
        const back = performance.now();
        await side.sent().catch(fail);
        done(performance.now() - back);
      }, { capture: true, once: true });
    });
    return wrote_ms;
  },
});
