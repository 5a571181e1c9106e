"""The report's print layout as a typst program. All of the report comes in as data, so nothing in it is read as mark-up."""

__all__ = ["LAYOUT"]

LAYOUT = r"""
#let report = json("report.json")
#let ink = rgb("#1f1c18")
#let faint = rgb("#5d564f")
#let rule = rgb("#cbc3b8")
#let brick = rgb("#8a3b24")
#let wash = rgb("#f6f2ea")

#set document(title: report.title, author: report.author, description: report.description,
  date: if report.date == none { auto } else {
    datetime(year: report.date.at(0), month: report.date.at(1), day: report.date.at(2))
  })
#set text(font: (report.font, "Libertinus Serif", "DejaVu Sans Mono"), size: 10pt, fill: ink)
#set text(lang: "en", region: "gb", hyphenate: true)
#set par(leading: 0.62em, spacing: 0.85em, justify: false)
#let head = context {
  set text(8pt, fill: faint)
  grid(columns: (1fr, auto), report.running.at(0), report.running.at(1))
  v(-0.6em)
  line(length: 100%, stroke: 0.4pt + rule)
}
#let foot = context {
  set text(8pt, fill: faint)
  grid(columns: (1fr, auto), text(fill: brick, weight: 600, report.notice),
    [Page #counter(page).display() of #counter(page).final().first()])
}
#set page(paper: "a4", margin: (left: 24mm, right: 24mm, top: 25mm, bottom: 22mm), header: head, footer: foot)

#show heading: set block(sticky: true)
#show heading.where(level: 1): it => {
  set text(17pt, weight: 700)
  block(above: 1.6em, below: 0.9em, sticky: true, it.body)
}
#show heading.where(level: 2): it => block(above: 1.5em, below: 0.7em, sticky: true, text(12.5pt, weight: 600, it.body))
#show heading.where(level: 3): it => block(above: 1.4em, below: 0.6em, sticky: true, stroke: (left: 2.2pt + brick),
  inset: (left: 6pt, y: 2pt), text(11pt, weight: 600, it.body))
#show figure: set block(above: 1.3em, below: 1.3em)
#show figure.where(kind: table): set block(breakable: true)
#show figure.where(kind: table): set figure.caption(position: top)
#show figure.caption: it => {
  set text(9pt)
  set align(left)
  block(width: 100%, sticky: it.kind == table, above: 0.6em, below: 0.6em,
    [*#it.supplement #it.counter.display(it.numbering).* #it.body])
}
#show outline.entry.where(level: 1): set block(above: 0.7em)

#let dense-facts(rows) = block(breakable: false, {
  set text(8.5pt)
  let short = rows.filter(row => row.at(0).len() < 26 and row.at(1).len() < 36)
  let long = rows.filter(row => not (row.at(0).len() < 26 and row.at(1).len() < 36))
  let half = calc.ceil(short.len() / 2)
  let pair(row) = (text(fill: faint, row.at(0)), row.at(1))
  if short.len() > 0 {
    table(columns: (33mm, 1fr, 33mm, 1fr), stroke: none, inset: (x: 4pt, y: 2.1pt),
      ..range(half).map(line => (table.hline(stroke: 0.3pt + rule), ..pair(short.at(line)),
        ..if line + half < short.len() { pair(short.at(line + half)) } else { ([], []) })).flatten(),
      table.hline(stroke: 0.3pt + rule))
  }
  if long.len() > 0 {
    v(-0.85em)
    table(columns: (33mm, 1fr), stroke: none, inset: (x: 4pt, y: 2.1pt),
      ..long.map(row => (..pair(row), table.hline(stroke: 0.3pt + rule))).flatten())
  }
})
#let facts(rows, size: 9pt, dense: false) = if dense { dense-facts(rows) } else {
  set text(size)
  table(columns: (44mm, 1fr), stroke: none, inset: (x: 4pt, y: 2.6pt),
    ..rows.map(row => (table.hline(stroke: 0.3pt + rule), text(fill: faint, row.at(0)), row.at(1))).flatten(),
    table.hline(stroke: 0.3pt + rule))
}
#let wide-tables(node) = {
  let columns = node.weights.map(weight => if weight == 0 { auto } else { weight * 1fr })
  let size = if columns.len() > 9 { 7pt } else if columns.len() > 6 { 7.5pt } else { 8.5pt }
  set text(size, hyphenate: true)
  set par(leading: 0.5em)
  show figure.where(kind: table): set block(breakable: not node.whole)
  figure(kind: table, caption: node.caption, supplement: [Table],
    align(left, table(columns: columns, stroke: none, inset: (x: 3.5pt, y: 3pt),
      align: (column, row) => if column in node.numbers { right + top } else { left + top },
      fill: (column, row) => if row == 0 { wash } else { none },
      table.hline(stroke: 0.8pt + ink),
      table.header(repeat: true, ..node.head.map(words => text(weight: 600, words))),
      table.hline(stroke: 0.5pt + ink),
      ..node.rows.map(row => (..row.map(words => table.cell(breakable: words.len() > 900, [#words])),
        table.hline(stroke: 0.3pt + rule))).flatten(),
    )))
  if node.note != "" { block(above: -0.4em, below: 1.2em, text(8pt, fill: faint, node.note)) }
}
#let drawing(node) = figure(kind: image, supplement: [Figure], caption: node.caption, alt: node.alt,
  image(node.file, width: node.width * 1mm, height: node.height * 1mm, alt: node.alt))
#let sheets = (
  "A4 portrait": (paper: "a4", flipped: false),
  "A4 landscape": (paper: "a4", flipped: true),
  "A3 portrait": (paper: "a3", flipped: false),
  "A3 landscape": (paper: "a3", flipped: true),
)
#let set-text-node(node) = {
  if node.kind == "heading" { heading(level: node.level, node.text) }
  else {
    block(sticky: node.at("keeps", default: false), {
      if node.lead != "" { text(weight: 600, node.lead); [ ] }
      node.text
    })
  }
}
#let set-figure(node) = if node.sheet == "in the text" { drawing(node) } else {
  let sheet = sheets.at(node.sheet)
  let high = node.sheet == "A3 portrait"
  page(paper: sheet.paper, flipped: sheet.flipped,
    margin: (x: 14mm, top: if high { 18mm } else { 20mm }, bottom: if high { 15mm } else { 18mm }), header: head, footer: foot, {
    for above in node.above { set-text-node(above) }
    align(center + horizon, drawing(node))
  })
}
#let set-node(node) = {
  if node.kind in ("heading", "paragraph") { set-text-node(node) }
  else if node.kind == "listing" { list(indent: 4pt, spacing: 0.55em, ..node.items.map(words => [#words])) }
  else if node.kind == "facts" { facts(node.rows, dense: node.dense) }
  else if node.kind == "table" { wide-tables(node) }
  else if node.kind == "figure" { set-figure(node) }
  else if node.kind == "caution" {
    block(fill: wash, stroke: (left: 3pt + brick), inset: 8pt, width: 100%, breakable: false)[
      #text(weight: 700, node.title) \ #node.text #if node.source != "" { text(8.5pt, fill: faint)[ Source: #node.source.] }
    ]
  }
}

#page(header: none, footer: if report.notice != "" { foot } else { none })[
  #v(30mm)
  #for words in report.cover.banners {
    block(stroke: 1.2pt + brick, inset: 7pt, width: 100%, text(fill: brick, weight: 600, words))
  }
  #v(12mm)
  #line(length: 40mm, stroke: 2.2pt + brick)
  #v(2mm)
  #text(27pt, weight: 700, hyphenate: false, report.cover.title)

  #text(15pt, fill: faint, report.cover.subtitle)
  #v(1fr)
  #facts(report.cover.facts, size: 9.5pt)
]

#let listed(title, target) = context {
  let found = query(target)
  if found.len() > 0 {
    block(above: 1.6em, below: 0.7em, sticky: true, text(12.5pt, weight: 600, title))
    set text(9pt)
    outline(title: none, target: target)
  }
}
#block(below: 1em, sticky: true, text(17pt, weight: 700)[Contents])
#outline(title: none, depth: 1)
#listed("Figures", figure.where(kind: image))
#listed("Tables", figure.where(kind: table))

#for chapter in report.chapters {
  if chapter.breaks { pagebreak(weak: true) }
  for node in chapter.nodes { set-node(node) }
}
"""
