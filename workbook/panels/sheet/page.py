"""The load-up sheet's style, and the script that fits it to one page. No word of it comes from a person."""

OVER = (
    "This loadout is too long for one sheet in type that can still be read: it prints on more than one. "
    "Fewer lines, or larger boxes of things, would fit."
)

# 190 x 255 mm fits inside 10 mm margins on A4 (190 x 277) and on Letter (195.9 x 259.4).
STYLE = """
@page { margin: 10mm; }
* { box-sizing: border-box; }
html { font-size: 10pt; }
body { margin: 0; font-family: FONT; font-variant-numeric: tabular-nums; line-height: 1.28; }
body { color: #1f2933; background: #fff; }
main { width: 190mm; margin: 0 auto; overflow-wrap: anywhere; }
h1 { font-size: 1.5rem; margin: 0; line-height: 1.1; }
h2 { font-size: 1rem; margin: .5rem 0 .15rem; padding-bottom: .1rem; border-bottom: .6pt solid #1f2933; }
h2 { break-after: avoid; }
p { margin: .1rem 0; }
header p { font-size: .95rem; }
.alarm { color: ALARM; font-weight: 600; }
.picture { margin: .3rem 0 0; }
.picture svg { display: block; width: 100% !important; max-width: none !important; background: none !important; }
ul, ol { margin: 0; padding: 0; list-style: none; }
ul li { margin: .08rem 0; padding-left: .8em; text-indent: -.8em; }
.order { columns: 2; column-gap: 6mm; }
.order li { margin: 0 0 .22rem; break-inside: avoid; }
.number { display: inline-block; min-width: 1.5em; text-align: center; border: .6pt solid #1f2933; border-radius: 2px; }
i { font-style: normal; color: QUIET; }
.pair { display: grid; grid-template-columns: 1fr 1fr; gap: 6mm; }
.pair section { min-width: 0; }
.screen { width: 190mm; margin: 8px auto; color: QUIET; }
#over { width: 190mm; margin: 8px auto; color: ALARM; font-weight: 600; }
@media print { .screen { display: none; } #over { margin: 0 auto; } }
"""

SCRIPT = """
(function () {
  var root = document.documentElement, sheet = document.getElementById('sheet'), over = document.getElementById('over');
  var ruler = document.createElement('div');
  ruler.style.cssText = 'position:absolute;visibility:hidden;height:255mm;width:1px';
  document.body.appendChild(ruler);
  var most = ruler.offsetHeight;
  ruler.remove();
  var size = 10, least = 6.5;
  root.style.fontSize = size + 'pt';
  while (sheet.scrollHeight > most && size > least) {
    size -= 0.25;
    root.style.fontSize = size + 'pt';
  }
  over.hidden = sheet.scrollHeight <= most;
  if (!over.hidden) { root.style.fontSize = '9pt'; }
  root.dataset.type = over.hidden ? size + 'pt' : 'over';
})();
"""
