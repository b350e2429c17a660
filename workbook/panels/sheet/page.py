"""The load-up sheet's style: black on white, and no letter smaller than 12 points, to be read by headlamp."""

from __future__ import annotations

from workbook.panels.desk.html_text import cut
from workbook.panels.desk.palette import FONT

NAME_LETTERS = 50  # of the departure's name at the foot of each page

# 190 mm fit between 10 mm margins on A4 (190) and on Letter (195.9).
_STYLE = """
@page { margin: 10mm 10mm 14mm; }
@page { @bottom-left { content: "NAME"; font: 12pt FONT; } }
@page { @bottom-right { content: "Page " counter(page) " of " counter(pages); font: 12pt FONT; } }
* { box-sizing: border-box; color: #000; }
html { font-size: 12pt; }
body { margin: 0; font-family: FONT; font-variant-numeric: tabular-nums; line-height: 1.28; background: #fff; }
main { max-width: 190mm; margin: 0 auto; overflow-wrap: anywhere; }
h1 { font-size: 1.5rem; margin: 0; line-height: 1.1; }
h2 { font-size: 1.1rem; margin: .6rem 0 .2rem; padding-bottom: .1rem; border-bottom: 1pt solid #000; }
h2, .zone { break-after: avoid; }
p { margin: .1rem 0; }
ul, ol { margin: 0; padding: 0; list-style: none; }
li { margin: .15rem 0; padding-left: .9em; text-indent: -.9em; }
li, .picture, .pair { break-inside: avoid; }
.bad { font-weight: 700; }
.tick { display: flex; align-items: baseline; gap: .5em; padding: 0; text-indent: 0; }
.tick::before { content: ""; flex: none; width: .95em; height: .95em; border: 1pt solid #000; align-self: flex-start; }
.tick::before { margin-top: .15em; }
.tick span { flex: 1; min-width: 0; }
.tick i { font-style: normal; white-space: nowrap; }
.picture svg { display: block; width: 100% !important; max-width: none !important; background: none !important; }
.picture { margin-bottom: .5rem; }
.picture text { fill: #000; stroke: #fff; }
.number { display: inline-block; min-width: 1.7em; text-align: center; border: 1pt solid #000; border-radius: 2px; }
.order > li { margin: 0 0 .4rem; padding: 0; text-indent: 0; }
.order { columns: 2; column-gap: 8mm; }
.pair { display: grid; grid-template-columns: 1fr 1fr; column-gap: 8mm; }
.pair > div { min-width: 0; }
@media screen { main, .screen { max-width: 190mm; margin: 8px auto; padding: 0 8px; } }
@media screen and (max-width: 160mm) { .order { columns: 1; } .pair { display: block; } }
@media print { .screen { display: none; } }
"""


def style(name: str) -> str:
    """The sheet's style sheet, with a departure's name at the foot of each page, in which no letter means anything."""
    plain = (
        letter if letter.isascii() and letter.isalnum() else f"\\{ord(letter):06x}"
        for letter in cut(name, NAME_LETTERS)
    )
    return _STYLE.replace("FONT", FONT).replace("NAME", "".join(plain))
