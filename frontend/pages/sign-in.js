// First start and sign-in. Neither ever covers a round this device has; the sync line leads here.
import { html, useEffect, useState } from "../ui.js";
import { TextField } from "../parts/fields.js";
import { Icon } from "../parts/icons.js";
import { go } from "../router.js";
import { askStart, enter } from "../live.js";
import { useStore } from "../store.js";
import { errorSentence, words } from "../words.js";

function Brand() {
  return html`<p class="brand"><${Icon} name="drop" />evenwater</p>`;
}

/** Whether any of these texts is empty, from then on said at its field.
 * @returns {[(...texts: string[]) => boolean, (text: string) => string]} */
function useLacking() {
  const [asked, ask] = useState(false);
  return [(...texts) => {
    ask(true);
    return texts.some((text) => !text.trim());
  }, (text) => (asked && !text.trim() ? words.pond.required : "")];
}

export function SignIn() {
  const { start, person } = useStore();
  const [name, typeName] = useState(person?.name ?? "");
  const [passphrase, typePassphrase] = useState("");
  const [error, fail] = useState("");
  const [busy, work] = useState(false);
  const [lacks, wanted] = useLacking();
  /** @param {"/api/sign-in"|"/api/sign-in/example"} path @param {Record<string, string>} fields */
  const send = async (path, fields) => {
    work(true);
    const answer = await enter(path, fields);
    work(false);
    if (answer.ok) go("/round", true);
    else fail(errorSentence(answer));
  };
  const submit = (event) => {
    event.preventDefault();
    if (!lacks(name, passphrase)) send("/api/sign-in", { name: name.trim(), passphrase });
  };
  return html`<main class="page start">
    <${Brand} />
    <h1>${start.example ? words.start.welcome : words.start.sign_in_title}</h1>
    <p>${start.example ? words.start.example_hint : words.start.sign_in_hint}</p>
    ${start.example && html`<button type="button" class="wide-button" disabled=${busy}
      onClick=${() => send("/api/sign-in/example", {})}>${words.start.example}</button>`}
    <form class="form" onSubmit=${submit}>
      <${TextField} label=${words.start.name} text=${name} onText=${typeName} autocomplete="username" maxlength=${80}
        error=${wanted(name)} />
      <${TextField} label=${words.start.passphrase} type="password" text=${passphrase} onText=${typePassphrase}
        autocomplete="current-password" maxlength=${200} error=${wanted(passphrase)} />
      ${error && html`<p class="form-error" role="alert">${error}</p>`}
      <button type="submit" class=${start.example ? "plain-button" : "wide-button"}
        disabled=${busy}>${words.start.sign_in}</button>
    </form>
    <p class="quiet">${words.start.helping} <a href="/h">${words.start.helping_link}</a></p>
  </main>`;
}

/** Before the server has answered for the first time, and when it does not. */
export function Waiting() {
  const [asking, ask] = useState(true);
  const again = async () => {
    ask(true);
    await askStart();
    ask(false);
  };
  useEffect(() => void again(), []);
  return html`<main class="page start"><${Brand} /><h1>${words.start.welcome}</h1>
    ${asking ? html`<p class="quiet" role="status">${words.start.waiting}</p>`
      : html`<p role="alert">${words.start.no_server}</p>
        <button type="button" class="wide-button" onClick=${again}>${words.start.again}</button>`}
  </main>`;
}

export function FirstStart() {
  const { start } = useStore();
  const [name, typeName] = useState("");
  const [passphrase, typePassphrase] = useState("");
  const [code, typeCode] = useState("");
  const [error, fail] = useState("");
  const [busy, work] = useState(false);
  // Mistyped unseen, it would lock out whoever began.
  const [legible, show] = useState(false);
  const [lacks, wanted] = useLacking();
  const begin = async (event) => {
    event.preventDefault();
    if (lacks(name, passphrase, start.needs_code ? code : "-")) return undefined;
    work(true);
    const fields = { name: name.trim(), passphrase, ...(start.needs_code ? { code: code.trim() } : {}) };
    const answer = await enter("/api/people/first", fields);
    work(false);
    return answer.ok ? go("/round", true) : fail(errorSentence(answer));
  };
  return html`<main class="page start">
    <${Brand} />
    <h1>${words.start.welcome}</h1><p>${words.start.hint}</p>
    <form class="form" onSubmit=${begin}>
      <${TextField} label=${words.start.name} text=${name} onText=${typeName} autocomplete="username" maxlength=${80}
        error=${wanted(name)} />
      <${TextField} label=${words.start.passphrase} hint=${words.start.passphrase_hint}
        type=${legible ? "text" : "password"} text=${passphrase} onText=${typePassphrase} autocomplete="new-password"
        maxlength=${200} error=${wanted(passphrase)} />
      <p><button type="button" class="text-button" aria-pressed=${legible ? "true" : "false"}
        onClick=${() => show(!legible)}>${words.start.show}</button></p>
      ${start.needs_code && html`<${TextField} label=${words.start.code} hint=${words.start.code_hint} text=${code}
        onText=${typeCode} autocomplete="one-time-code" maxlength=${40} error=${wanted(code)} />`}
      ${error && html`<p class="form-error" role="alert">${error}</p>`}
      <button type="submit" class="wide-button" disabled=${busy}>${words.start.begin}</button>
    </form>
    <p class="quiet">${words.start.next}</p>
  </main>`;
}
