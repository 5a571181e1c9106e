"""The style sheet of the HTML report: ink on paper, time-worn brick for what must be seen, and room for the drawings."""

__all__ = ["PAGE_STYLE"]

PAGE_STYLE = """
:root { --ink: #1f1c18; --faint: #5d564f; --rule: #cbc3b8; --brick: #8a3b24; --wash: #f6f2ea; --paper: #fffdf9; }
* { box-sizing: border-box; }
html { font-size: 100%; }
body { margin: 0 auto; padding: 1.25rem; max-width: 58rem; color: var(--ink); background: var(--paper);
  font-family: "Source Sans Pro", "Source Sans 3", "Noto Sans", system-ui, sans-serif; line-height: 1.5; }
header { border-bottom: 2px solid var(--ink); padding-bottom: 1rem; }
h1 { font-size: 2rem; line-height: 1.15; margin: 1.5rem 0 .25rem; }
.subtitle { font-size: 1.25rem; margin: 0 0 1rem; color: var(--faint); }
h2 { font-size: 1.45rem; margin: 2.5rem 0 .75rem; border-bottom: 1px solid var(--rule); padding-bottom: .25rem; }
h3 { font-size: 1.15rem; margin: 1.75rem 0 .5rem; }
.entry { font-size: 1.02rem; margin: 1.5rem 0 .4rem; padding-left: .6rem; border-left: .25rem solid var(--brick); }
h1, h2, h3, h4 { overflow-wrap: anywhere; break-after: avoid; }
p, li, dd { overflow-wrap: anywhere; }
p { margin: .4rem 0; }
ul { margin: .4rem 0; padding-left: 1.25rem; }
a { color: var(--brick); }
.skip { position: absolute; left: -999rem; }
.skip:focus { left: 1rem; top: 1rem; background: var(--paper); padding: .5rem; }
.banner { margin: .5rem 0; padding: .6rem .8rem; border: 2px solid var(--brick); color: var(--brick); font-weight: 600; }
.contents { list-style: none; padding: 0; columns: 17rem; margin: .5rem 0; }
.contents li { break-inside: avoid; padding: .15rem 0; }
summary { cursor: pointer; font-weight: 600; padding: .25rem 0; }
dl { margin: .5rem 0 1rem; border-top: 1px solid var(--rule); }
dl > div { display: grid; grid-template-columns: minmax(8rem, 13rem) 1fr; gap: .25rem 1rem; padding: .2rem 0;
  border-bottom: 1px solid var(--rule); break-inside: avoid; }
dl.dense { columns: 20rem; column-gap: 2rem; }
dl.dense > div { grid-template-columns: minmax(7rem, 9rem) 1fr; }
dt { color: var(--faint); }
dd { margin: 0; }
.wide { overflow-x: auto; margin: 1rem 0 .4rem; }
.wide:focus-visible { outline: 2px solid var(--brick); }
table { border-collapse: collapse; width: 100%; font-size: .9rem; }
caption { text-align: left; font-weight: 600; padding-bottom: .35rem; }
th, td { text-align: left; vertical-align: top; padding: .3rem .5rem; border-bottom: 1px solid var(--rule); min-width: 3rem; }
thead th { border-bottom: 2px solid var(--ink); background: var(--wash); }
tbody th { font-weight: 600; }
.figures { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
.note, .source { color: var(--faint); font-size: .9rem; }
figure { margin: 1.25rem 0; }
figure svg { display: block; max-width: 100%; height: auto; background: #fff; }
figcaption { font-size: .95rem; padding-top: .4rem; }
.caution { border-left: .4rem solid var(--brick); background: var(--wash); padding: .5rem 1rem; margin: 1rem 0; }
.caution h3 { margin-top: .25rem; }
footer { margin-top: 3rem; border-top: 1px solid var(--rule); color: var(--faint); font-size: .9rem; }
@media (max-width: 32rem) {
  body { padding: .75rem; }
  h1 { font-size: 1.6rem; }
  dl > div { grid-template-columns: 1fr; gap: 0; }
  figure svg { min-width: 34rem; }
}
@media print {
  body { max-width: none; padding: 0; font-size: 10pt; background: #fff; }
  a { color: inherit; text-decoration: none; }
  .skip { display: none; }
  section { break-before: page; }
  .wide { overflow: visible; }
  figure svg { max-width: none; }
  thead { display: table-header-group; }
  tr, figure, .caution { break-inside: avoid; }
}
@page { size: A4; margin: 20mm; }
"""
