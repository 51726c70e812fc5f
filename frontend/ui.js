// The only door to Preact and htm. Everything on screen is made with what this file exports,
// so that the day we change the library, one file changes.
//
// Two traps in htm that a test guards: every tag must be closed (<br /> not <br>), and HTML
// entities are not decoded (write the character itself, not &nbsp;).
import { h, render } from "./vendor/preact.js";
import { useEffect, useErrorBoundary, useId, useLayoutEffect, useMemo, useRef, useState } from "./vendor/hooks.js";
import htm from "./vendor/htm.js";

/** @type {(strings: TemplateStringsArray, ...values: any[]) => any} */
export const html = htm.bind(h);

export { render, useEffect, useErrorBoundary, useId, useLayoutEffect, useMemo, useRef, useState };

/** This component, drawn anew only when one of its props is another, or by its own hooks. A drawing that is kept with
 * `useMemo` instead would keep with it the whole page that stood around it when it was made.
 * @template {Record<string, any>} Props @param {(props: Props) => any} component @returns {(props: Props) => any} */
export function steady(component) {
  /** @this {any} @param {Props} props */
  return function Steady(props) {
    this.shouldComponentUpdate = (/** @type {Props} */ next) =>
      [...new Set([...Object.keys(next), ...Object.keys(props)])].some((name) => next[name] !== props[name]);
    return h(component, props);
  };
}

/** Join class names, leaving out what is false.
 * @param {...(string|false|null|undefined)} names */
export function classes(...names) {
  return names.filter(Boolean).join(" ");
}
