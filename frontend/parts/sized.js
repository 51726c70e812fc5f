// A drawing as wide as the room it has, drawn again when that changes.
import { html, useLayoutEffect, useRef, useState } from "../ui.js";

/** `drawing` gets the other props, and `width` and `em` [px].
 * @param {{drawing: (props: any) => any, [more: string]: any}} props */
export function Sized({ drawing: Drawing, ...props }) {
  const box = useRef(/** @type {HTMLElement|null} */ (null));
  const [size, measure] = useState({ width: 0, em: 15 });
  useLayoutEffect(() => {
    const here = /** @type {HTMLElement} */ (box.current);
    const look = () => measure({ width: here.clientWidth, em: parseFloat(getComputedStyle(here).fontSize) });
    look();
    const watch = new ResizeObserver(look);
    watch.observe(here);
    return () => watch.disconnect();
  }, []);
  return html`<div class="chart" ref=${box}>${size.width > 0 && html`<${Drawing} ...${props} ...${size} />`}</div>`;
}
