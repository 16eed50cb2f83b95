"""How the notes look on a screen, on a phone, and printed from a browser."""

from __future__ import annotations

STYLE = """\
:root { color-scheme: light dark; --ink: #1b1b1b; --soft: #5a5a5a; --rule: #cfcfcf;
  --paper: #ffffff; --band: #f3f3f1; }
@media (prefers-color-scheme: dark) { :root { --ink: #ececec; --soft: #b0b0b0; --rule: #4a4a4a;
  --paper: #161616; --band: #222222; } }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1.25rem; max-width: 48rem; background: var(--paper);
  color: var(--ink); font: 1rem/1.55 "Noto Sans", system-ui, sans-serif;
  overflow-wrap: break-word; }
h1 { font-size: 2.1rem; line-height: 1.15; margin: .5rem 0; }
h2 { font-size: 1.35rem; line-height: 1.25; margin: 2.5rem 0 .75rem; padding-top: .75rem;
  border-top: 2px solid var(--ink); }
h3 { font-size: 1.08rem; margin: 1.75rem 0 .4rem; }
a { color: inherit; }
ul, ol { padding-left: 1.4rem; }
li { margin: .2rem 0; }
li > ul { color: var(--soft); }
h1 + p, figcaption, footer { color: var(--soft); }
nav { margin: 2rem 0; padding: .5rem 1rem; background: var(--band); }
figure { margin: 1.25rem 0; }
svg { background: #ffffff; max-width: 100%; height: auto; vertical-align: middle; }
figure svg { display: block; margin: 0 auto; padding: 4px; }
figure.pieces svg { width: 100%; }
figure[class^="lay"] { overflow-x: auto; }
figure[class^="lay"] svg { width: 100%; min-width: 36rem; }
figure.code { display: flex; flex-wrap: wrap; align-items: center; gap: 1rem; }
figure.code svg { margin: 0; min-width: 9rem; }
figure.code figcaption { flex: 1 1 12rem; }
.table { overflow-x: auto; margin: 1rem 0; }
table { border-collapse: collapse; width: 100%; font-size: .94rem; }
th, td { padding: .4rem .6rem .4rem 0; border-bottom: 1px solid var(--rule);
  vertical-align: top; text-align: left; }
th { border-bottom: 2px solid var(--ink); }
td svg { min-width: 5.5rem; padding: 2px; }
@media (max-width: 30rem) { table { font-size: .86rem; } td { hyphens: auto; }
  td svg { min-width: 3.6rem; } }
footer { margin-top: 3rem; border-top: 1px solid var(--rule); font-size: .85rem; }
@media print {
  :root { --ink: #000000; --soft: #333333; --rule: #999999; --paper: #ffffff; --band: #ffffff; }
  body { max-width: none; padding: 0; font-size: 10pt; }
  nav { display: none; }
  figure svg { max-height: 20cm; }
  figure.pieces svg { max-height: 15cm; }
  figure[class^="lay"] svg { min-width: 0; }
  h2, h3 { break-after: avoid; }
  tr, figure, li { break-inside: avoid; }
  a { text-decoration: none; }
}
"""
