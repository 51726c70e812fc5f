// A picture a helper needs, large, kept on the phone so that it is there without signal.
import { html, useEffect, useState } from "../ui.js";
import { helperWords } from "../words/helper-words.js";
import { pictureUrl } from "../helper.js";
import { useStore } from "../store.js";

/** @param {{sum: string, of: string}} props   `of`: what it shows */
export function HelperPicture({ sum, of }) {
  const { last_sync_at } = useStore();
  const [url, find] = useState("");
  const [failed, fail] = useState("");
  const now = `${sum} ${last_sync_at}`;
  useEffect(() => {
    let made = "";
    let gone = false;
    pictureUrl(sum).then((one) => {
      made = one;
      if (gone && made.startsWith("blob:")) URL.revokeObjectURL(made);
      else find(one);
    });
    return () => {
      gone = true;
      if (made.startsWith("blob:")) URL.revokeObjectURL(made);
    };
  }, [now]);
  if (failed === now) return html`<p class="helper-picture quiet">${helperWords.picture_away}</p>`;
  return html`<p class="helper-picture">${url && html`<img src=${url} alt=${helperWords.picture_of(of)} decoding="async"
    onError=${() => fail(now)} />`}</p>`;
}
