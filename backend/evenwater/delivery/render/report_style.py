"""The look of the season report: one sheet that travels inside the file, since nothing beside it does.

The colours are those of the app's own sheet of tokens, which a test compares: light, dark, and light again on paper.
"""

from typing import Final

LIGHT: Final = {
    "paper": "#f6f2e9",
    "card": "#fffdf8",
    "ink": "#1b2426",
    "quiet": "#39464b",
    "line": "#c9c1b0",
    "path": "#7d8a83",
    "pond": "#1a5145",
    "band": "#dfe9e1",
}
DARK: Final = {
    "paper": "#14191b",
    "card": "#1d2527",
    "ink": "#eef0ea",
    "quiet": "#b3bdba",
    "line": "#36434a",
    "path": "#6c7d79",
    "pond": "#7fcdb4",
    "band": "#22332f",
}


def _tokens(colours: dict[str, str]) -> str:
    return "".join(f"--{name}:{colour};" for name, colour in colours.items())


# A table that has no room is laid out as blocks, each figure with its column's name before it.
_STACKED: Final = """
OF thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
OF tr,OF th,OF td{display:block;border:0;padding:.1rem 0}
OF tr{border-top:1px solid var(--line);padding:.5rem 0}
OF th,OF td{overflow-wrap:anywhere}
OF td{display:grid;grid-template-columns:minmax(0,9fr) minmax(0,11fr);gap:.5rem}
OF td::before{content:attr(data-head);color:var(--quiet)}
"""

STYLE: Final = (
    f":root{{color-scheme:light dark;{_tokens(LIGHT)}}}"
    f"@media screen and (prefers-color-scheme:dark){{:root{{{_tokens(DARK)}}}}}"
    """
*{box-sizing:border-box}
body{margin:0 auto;max-width:60rem;padding:1rem;background:var(--paper);color:var(--ink);
font:1.125rem/1.45 ui-rounded,"SF Pro Rounded","Segoe UI Variable Text","Segoe UI",system-ui,"Noto Sans",sans-serif;
font-variant-numeric:tabular-nums;overflow-wrap:break-word}
h1{font-size:1.9rem;line-height:1.2;margin:.5rem 0 0}
h2{font-size:1.35rem;line-height:1.25;margin:0 0 .5rem}
p{margin:.25rem 0}
.quiet{color:var(--quiet);font-size:1rem}
.unknown{color:var(--quiet);font-size:1rem;padding-left:1.4em;position:relative}
.unknown::before{content:"?";position:absolute;left:.2em;font-weight:700}
section,.ring{background:var(--card);border:1px solid var(--line);border-radius:.875rem;padding:1rem;margin:1rem 0}
nav{display:flex;flex-wrap:wrap;gap:.75rem}
nav a{display:inline-flex;align-items:center;min-height:3.5rem;padding:0 1.25rem;border:2px solid var(--pond);
border-radius:.875rem;color:var(--pond);font-weight:600;text-decoration:none}
nav a:focus-visible{outline:3px solid var(--ink);outline-offset:2px}
table{border-collapse:collapse;width:100%;margin-top:.5rem}
th,td{text-align:left;vertical-align:top;padding:.4rem .75rem .4rem 0;border-top:1px solid var(--line)}
thead th{color:var(--quiet);font-size:1rem;font-weight:600;border-top:0}
tbody th{font-weight:600}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.sentences{margin:.25rem 0;padding:0;list-style:none}
.sentences li{padding:.15rem 0}
.photos{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(9rem,100%),1fr));gap:1rem}
figure{margin:0}
figure img{display:block;width:100%;height:auto;border-radius:.5rem}
figcaption{color:var(--quiet);font-size:1rem;padding-top:.25rem}
.ring{display:grid;gap:1rem;align-items:start;grid-template-columns:minmax(0,1fr)}
.ring svg{display:block;width:100%;max-width:40rem;height:auto;margin:0 auto}
.ring ol{margin:0;padding:0;list-style:none}
.ring li{display:grid;grid-template-columns:2.3rem 4.2rem minmax(0,1fr);gap:.25rem;padding:.2rem 0}
.ring li b{display:inline-grid;place-content:center;width:1.9rem;height:1.9rem;border:2px solid var(--pond);
border-radius:50%;font-size:.9375rem}
.ring li time{color:var(--quiet)}
.grid{fill:none;stroke:var(--line);stroke-width:.8}
.now-wash{fill:var(--band);stroke:none}
.now-line{fill:none;stroke:var(--pond);stroke-width:2.4;stroke-linejoin:round;stroke-linecap:round}
.before-line{fill:none;stroke:var(--quiet);stroke-width:1.3;stroke-dasharray:3.5 2.5}
.leader{stroke:var(--path);stroke-width:.8}
.spot{fill:var(--card);stroke:var(--pond);stroke-width:1.4}
svg text{fill:var(--ink);font-size:13px;text-anchor:middle;dominant-baseline:central}
svg .month,svg .scale{paint-order:stroke;stroke:var(--card);stroke-width:3px}
svg .scale{font-size:11px;fill:var(--quiet)}
svg .number{font-size:11px;font-weight:700}
svg .middle{font-size:16px;font-weight:700}
svg .middle-quiet{font-size:12px;fill:var(--quiet)}
@media screen and (min-width:50rem){.photos{grid-template-columns:repeat(auto-fill,minmax(13rem,1fr))}
.ring{grid-template-columns:minmax(0,3fr) minmax(0,2fr)}}
@media screen{.many{font-size:1rem}}
@media screen and (max-width:45rem){STACK_MANY}
@media screen and (max-width:22rem){STACK_ALL}
@page{margin:14mm}
@media print{
:root{color-scheme:light}
body{padding:0;max-width:none;background:none;font-size:10pt}
nav{display:none}
h1{font-size:18pt}
h2{font-size:12.5pt;break-after:avoid}
.sentences:not(:last-child){break-after:avoid}
.quiet,.unknown,thead th,figcaption,.ring li time{font-size:9pt}
section,.ring{background:none;border:0;border-top:.4mm solid var(--line);border-radius:0;padding:2.5mm 0;margin:2.5mm 0}
section.short,tr,figure,li{break-inside:avoid}
tbody tr:nth-child(-n+2){break-after:avoid}
th,td{padding:.6mm 3mm .6mm 0}
.photos{grid-template-columns:repeat(4,1fr);gap:4mm}
.ring{grid-template-columns:1fr;break-inside:avoid}
.ring svg{max-width:120mm}
.ring ol{columns:2;column-gap:8mm}
.ring li{grid-template-columns:7mm 15mm 1fr;padding:.4mm 0}
.ring li b{width:5.6mm;height:5.6mm;font-size:7.5pt}
.year table{font-size:9pt}
.year th,.year td{padding-right:1.5mm}
.year{line-height:1.3}
.year .ring,.year section{margin:1.5mm 0;padding:1.5mm 0}
.year .ring{gap:2mm}
.year .ring svg{max-width:104mm}
.year .ring ol{font-size:8.5pt;line-height:1.25}
.year .ring li{padding:.1mm 0}
.year .ring li b{width:4.8mm;height:4.8mm;border-width:.3mm;font-size:7pt}}
""".replace("STACK_MANY", _STACKED.replace("OF", ".many")).replace("STACK_ALL", _STACKED.replace("OF", "table"))
)
