// Put into the page before the app's own scripts: it notes every task of the page that took 50 ms or longer, and works
// the photo field of a note as a thumb does, with files from an input of its own.
(() => {
  /** @type {number[]} */
  let long = [];
  new PerformanceObserver((told) => long.push(...told.getEntries().map((one) => one.duration)))
    .observe({ type: "longtask", buffered: true });
  const soon = () => new Promise((on) => { setTimeout(on, 20); });
  const named = (selector, text) => [...document.querySelectorAll(selector)].find((one) => one.textContent === text);
  const found = async (find) => {
    while (!find()) await soon();
    return find();
  };

  /** A note with these files, through the form. */
  async function note(files, text) {
    (await found(() => named("button", "Write a note"))).click();
    const words = await found(() => document.querySelector("form.small-form textarea"));
    words.value = text;
    words.dispatchEvent(new Event("input", { bubbles: true }));
    const field = await found(() => document.querySelector(".photo-field input[multiple]"));
    const chosen = new DataTransfer();
    for (const file of files) chosen.items.add(file);
    field.files = chosen.files;
    field.dispatchEvent(new Event("change", { bubbles: true }));
    await found(() => document.querySelectorAll(".photo-field .photo-thumb").length === files.length
      && !document.querySelector(".photo-field button[disabled]"));
    document.querySelector("form.small-form button[type=submit]").click();
    await found(() => named("button", "Write a note"));
  }

  /** All files of the bench's input, so many to a note; says on the console when it is done. */
  async function queue(each) {
    const files = [...document.querySelector("#bench-files").files];
    for (let at = 0; at < files.length; at += each) await note(files.slice(at, at + each), `Look ${at / each}`);
    console.debug("photos_queued", files.length);
  }

  Object.assign(window, { bench: {
    queue,
    input: () => document.body.append(Object.assign(document.createElement("input"),
      { id: "bench-files", type: "file", multiple: true })),
    longest: () => Math.max(0, ...long),
    again: () => { long = []; },
  } });
})();
