// Track record: each kind of forecast as it was shown, against what was then measured.
import { html } from "../../ui.js";
import { dayAndMonth, number } from "../../formats.js";
import { scoreWords } from "../../words/kit-words.js";
import { PondPick } from "../../parts/fields.js";
import { ScoreChart } from "../../parts/score-chart.js";
import { FoldedTable } from "../../parts/workings.js";
import { useStore } from "../../store.js";

/** @typedef {import("../../domain/types.js").Score} Score */

const W = scoreWords;

/** @param {{query: URLSearchParams}} props   `of`: the subject whose number led here */
export function Scores({ query }) {
  const { plan, pond } = useStore();
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  const all = plan?.book?.find((one) => one.pond === here?.id)?.scores ?? [];
  const of = query.get("of");
  const one = of ? all.filter(({ subject }) => subject === of) : [];
  const shown = of ? one : all;
  return html`<main class="page scores">
    <header class="page-head"><div><h1>${W.title}</h1><p class="quiet">${W.hint}</p></div></header>
    <div class="inset"><${PondPick} /></div>
    ${shown.length === 0 && html`<p class="empty">${!here ? W.no_plan : of && all.length > 0 ? W.none_of : W.none}</p>`}
    <section class="part"><div class="findings">${shown.map((score) =>
      html`<${OneScore} key=${score.subject} score=${score} />`)}</div></section>
    ${of && all.length > one.length && html`<p class="centre"><a class="plain-button" href="/scores">${W.all}</a></p>`}
  </main>`;
}

/** @param {{score: Score}} props */
function OneScore({ score }) {
  const { title, unit, rows, bias, typical_error, inside, model_versions, says } = score;
  const say = (/** @type {number} */ value) => number(Number(value.toPrecision(3)));
  const with_unit = (/** @type {number} */ value) => `${say(value)}${unit ? ` ${unit}` : ""}`;
  const signed = `${bias > 0 ? "+" : ""}${with_unit(bias)}`;
  return html`<article class="finding score" aria-label=${title}><h2>${title} <span class="unit">${unit}</span></h2>
    <p>${says}</p>
    ${rows.length > 0 && html`<${ScoreChart} score=${score} />
      <p class="key"><span class="key-band">${W.key_band}</span><span class="key-dot">${W.key_dot}</span></p>
      <dl class="facts">
        <div><dt>${W.inside}</dt><dd>${W.of(inside, rows.length)}</dd></div>
        <div><dt>${W.typical}</dt><dd>${with_unit(typical_error)}</dd></div>
        <div><dt>${W.bias}</dt><dd>${signed}</dd></div>
        <div><dt>${W.versions}</dt><dd>${model_versions.join(", ")}</dd></div></dl>
      <${FoldedTable} summary=${W.rows} columns=${[W.on, W.foretold, W.measured]}
        rows=${[...rows].reverse().map((one) => [dayAndMonth(one.on), W.to(say(one.low), say(one.high)),
          say(one.measured)])} />`}</article>`;
}
