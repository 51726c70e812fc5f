// First start: who runs this pond. Away from the machine itself it also asks the code the terminal shows.
import { html, useState } from "../ui.js";
import { TextField } from "../parts/text-field.js";
import { go } from "../router.js";
import { enter } from "../session.js";
import { useStore } from "../store.js";
import { errorSentence, words } from "../words.js";

export function FirstStart() {
  const { start } = useStore();
  const [name, typeName] = useState("");
  const [passphrase, typePassphrase] = useState("");
  const [code, typeCode] = useState("");
  const [error, fail] = useState("");
  const [busy, work] = useState(false);
  const begin = async (/** @type {Event} */ event) => {
    event.preventDefault();
    if (!name.trim() || !passphrase || (start.needs_code && !code.trim())) return fail(words.pond.required);
    work(true);
    const answer = await enter("/api/people/first", { name: name.trim(), passphrase, ...(start.needs_code ? { code: code.trim() } : {}) });
    work(false);
    return answer.ok ? go("/round", true) : fail(errorSentence(answer));
  };
  return html`<main class="page start">
    <h1>${words.start.welcome}</h1><p>${words.start.hint}</p>
    <form class="form" onSubmit=${begin}>
      <${TextField} label=${words.start.name} text=${name} onText=${typeName} autocomplete="username" maxlength=${80} />
      <${TextField} label=${words.start.passphrase} type="password" hint=${words.start.passphrase_hint} text=${passphrase}
        onText=${typePassphrase} autocomplete="new-password" maxlength=${200} />
      ${start.needs_code && html`<${TextField} label=${words.start.code} hint=${words.start.code_hint} text=${code} onText=${typeCode}
        autocomplete="one-time-code" maxlength=${40} />`}
      ${error && html`<p class="form-error" role="alert">${error}</p>`}
      <button type="submit" class="wide-button" disabled=${busy}>${words.start.begin}</button>
    </form>
  </main>`;
}
