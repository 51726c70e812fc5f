// Put into the page before the app's own scripts; it changes nothing, and says two spans on the console:
//
// tap_ms    ms from each tap (the moment the browser gave it) until the transaction that queued an entry was complete
// round_ms  from the navigation's start until the round, with its first stop, had been painted
(() => {
  /** @type {number|null} */
  let tapped = null;
  addEventListener("click", (event) => { tapped = event.timeStamp; }, { capture: true });

  const begin = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (stores, mode, options) {
    const transaction = begin.call(this, stores, mode, options);
    if (tapped !== null && mode === "readwrite" && [stores].flat().includes("outbox")) {
      const from = tapped;
      tapped = null;
      transaction.addEventListener("complete", () => console.debug("tap_ms", performance.now() - from));
    }
    return transaction;
  };

  const watch = new MutationObserver(() => {
    if (!document.querySelector("main.round ol.path li.place")) return;
    watch.disconnect();
    // The frame that shows it is made after this callback; a message sent from it arrives when that frame is done.
    requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => { console.debug("round_ms", performance.now()); };
      port2.postMessage(null);
    });
  });
  watch.observe(document, { childList: true, subtree: true });
})();
