"""The layout of the blank sheets as a typst program: large letters and boxes for cold and muddy hands, ink saved."""

__all__ = ["PAPER"]

PAPER = r"""
#let forms = json("forms.json")
#set document(title: "Blank sheets, " + forms.site + ", unit " + forms.unit)
#set text(font: (forms.font, "Libertinus Serif", "DejaVu Sans Mono"), size: 10.5pt, lang: "en", region: "gb")
#set par(leading: 0.55em, spacing: 0.6em)

#let head(title, number) = {
  grid(columns: (1fr, auto), align: (left + bottom, right + bottom),
    [#text(17pt, weight: 700, title) \ #text(10.5pt)[#forms.site, unit #forms.unit, numbers of #forms.person]],
    text(38pt, weight: 700, number))
  v(-0.5mm)
  line(length: 100%, stroke: 1.2pt)
}
#let foot = text(9pt)[
  *Possible human remains: stop, cover, notify, leave in place.* An empty box is a blank. What is absent on purpose says so: not
  applicable, not visible, or not done with the reason. Typed in later under the same number. #h(1fr)
  #context counter(page).display("1 of 1", both: true)
]
#let tick(words) = box[#box(width: 4.6mm, height: 4.6mm, stroke: 0.9pt, baseline: 22%)#h(1.2mm)#words#h(3.5mm)]
#let blank(field) = block(width: 100%, height: field.height * 1mm, stroke: 0.9pt, inset: (x: 2mm, y: 1.3mm), breakable: false, {
  text(9.5pt, weight: 600, field.label)
  if field.ticks.len() > 0 {
    if field.span == 6 { h(4mm) } else { linebreak(); v(0.4mm) }
    field.ticks.map(tick).join()
  }
  if field.unit != "" { place(bottom + right, text(10pt, field.unit)) }
})
#let squares = tiling(size: (5mm, 5mm), place(rect(width: 5mm, height: 5mm, stroke: 0.25pt + luma(170))))
#let page-of(title, number, flipped: false, body) = page(paper: "a4", flipped: flipped, header: head(title, number), footer: foot,
  margin: (x: 13mm, top: 33mm, bottom: 19mm), header-ascent: 3mm, body)

#for sheet in forms.sheets {
  page-of(sheet.title, sheet.number, {
    grid(columns: (1fr,) * 6, gutter: 1.6mm, ..sheet.rows.flatten().map(field => grid.cell(colspan: field.span, blank(field))))
    v(1.6mm)
    block(width: 100%, height: sheet.sketch * 1mm, stroke: 0.9pt, fill: squares, breakable: false,
      inset: 2mm, box(fill: white, inset: 1mm, text(9.5pt, weight: 600)[Sketch: scale, north, levels]))
  })
}
#for register in forms.registers {
  page-of(register.title, "", flipped: true, {
    if register.above.len() > 0 {
      grid(columns: (1fr,) * register.above.len(), gutter: 1.6mm,
        ..register.above.map(words =>
          block(width: 100%, height: 13mm, stroke: 0.9pt, inset: 1.6mm, text(9.5pt, weight: 600, words))))
      v(1.6mm)
    }
    table(columns: register.weights.map(weight => weight * 1fr), rows: (auto,) + (9.6mm,) * register.numbers.len(), stroke: 0.9pt,
      inset: (x: 1.5mm, y: 1.6mm), align: left + horizon,
      table.header(repeat: true, ..register.head.map(words => text(9.5pt, weight: 600, words))),
      ..register.numbers.map(number => (text(14pt, weight: 700, number),) + ([],) * (register.head.len() - 1)).flatten())
  })
}
"""
"""All of the site comes in as data, so nothing in it is read as mark-up."""
