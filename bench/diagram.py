"""The drawing of the order beside general layout programs: time, and pairs of lines that meet."""

from __future__ import annotations

import csv
import json
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))

from apart import best_of, forget_peak, run_apart, serve
from sheet import Measure, Row, Section, Sheet

HERE = Path(__file__).resolve().parent
DATA = Path(os.environ.get("BAULK_TRIAL_DATA") or HERE.parents[1] / "shared" / "data") / "order_graphs"
ELK = (os.environ.get("BAULK_ELKJS"), HERE.parent / "web" / "node_modules" / "elkjs")
WIDE, HIGH = 12.0, 7.0
TEXT = (
    "Boxes of 12 × 7 mm; relations already reduced; all lines downward. *Deep*: each context lies on one or two of the dozen dug "
    "after it. *Wide*: contexts in levels, each on one to three near it below. Invented, from a fixed seed; the last two are "
    "public graphs that are not archaeology. Every program's lines are counted in one way, from the bends it gives: pairs of "
    "lines without a common context that meet, whether they cross or run on top of each other, each pair once. Ours and elkjs "
    "draw right-angled lines, dot straight ones. Ours is the best of three calls, dot one run of the program, elkjs one call in a "
    "running node. dot is `dot -Tplain`; elkjs is found by BAULK_ELKJS or in web/node_modules."
)
SCRIPT = """
const [elkjs, given] = process.argv.slice(2), graph = JSON.parse(require('fs').readFileSync(given));
const ELK = require(elkjs + '/lib/elk.bundled.js'), elk = new ELK(), start = performance.now();
elk.layout(graph).then(done => console.log(JSON.stringify({seconds: (performance.now() - start) / 1000, lines: done.edges.map(
  e => [e.sections[0].startPoint, ...(e.sections[0].bendPoints || []), e.sections[0].endPoint].map(p => [p.x, p.y]))})));
"""


def reduced(pairs: set[tuple[int, int]], count: int) -> tuple[np.ndarray, np.ndarray]:
    """Return the needed relations, loops opened."""
    from baulk.sequence.doubt import doubts_of
    from baulk.sequence.loops import loops_of
    from baulk.sequence.reduction import reduce_relations
    from baulk.sequence.relations import relations_of

    ends = np.array(sorted(pairs))
    relations = relations_of(count, ends[:, 0], ends[:, 1])
    gone = [doubt.relations for doubt in doubts_of(relations, loops_of(relations))]
    if gone:
        kept = np.setdiff1d(np.arange(len(relations.later)), np.concatenate(gone))
        relations = relations_of(count, relations.later[kept], relations.earlier[kept])
    needed = reduce_relations(relations).kept
    return relations.later[needed].astype(np.int64), relations.earlier[needed].astype(np.int64)


def deep(count: int) -> set[tuple[int, int]]:
    """Return an order in which each context lies on one or two of the dozen after it."""
    rng = np.random.default_rng(count)
    return {(max(0, one - 1 - int(rng.exponential(6))), one) for one in range(1, count) for _ in range(rng.integers(1, 3))}


def wide(count: int) -> set[tuple[int, int]]:
    """Return an order of levels, each context on one to three that are near it in plan and lower."""
    rng = np.random.default_rng(count)
    levels = max(5, round(count**0.43))
    level, place = rng.integers(0, levels, count), rng.random(count)
    found = set()
    for one in range(count):
        lower = np.flatnonzero(level > level[one])
        far = np.abs(place[lower] - place[one]) * count / levels + (level[lower] - level[one]) + rng.exponential(2, len(lower))
        found |= {(one, int(other)) for other in lower[np.argsort(far)[: rng.integers(1, 4)]]}
    return found


def public(name: str) -> set[tuple[int, int]]:
    """Return one of the public graphs, its names counted as they are met."""
    index: dict[str, int] = {}
    with (DATA / name).open(encoding="utf-8", newline="") as lines:
        rows = [list(row.values()) for row in csv.DictReader(lines)]
    named = ((row[0], other) for row in rows for other in row[1].split())
    return {(index.setdefault(a, len(index)), index.setdefault(b, len(index))) for a, b in named}


def graph(kind: str, count: int) -> tuple[int, np.ndarray, np.ndarray]:
    """Return the number of contexts that some relation names, and the needed relations between them."""
    pairs = {"deep": deep, "wide": wide}[kind](count) if count else public(kind)
    later, earlier = reduced(pairs, max(map(max, pairs)) + 1)
    names, ends = np.unique(np.concatenate([later, earlier]), return_inverse=True)
    return len(names), ends[: len(later)], ends[len(later) :]


def meeting(lines: list[Any], later: np.ndarray, earlier: np.ndarray) -> int:
    """Return how many pairs of lines without a common context meet."""
    import shapely

    drawn = [shapely.LineString(line) for line in lines]
    one, other = shapely.STRtree(drawn).query(drawn, predicate="intersects")
    apart = (later[one] != later[other]) & (earlier[one] != earlier[other])
    apart &= (later[one] != earlier[other]) & (earlier[one] != later[other]) & (one < other)
    return int(apart.sum())


def ours(kind: str, count: int) -> dict[str, Any]:
    """Lay out with our own layout."""
    from baulk.drawing.layered import lay_out_layers

    count, later, earlier = graph(kind, count)
    forget_peak()
    lay_out_layers(np.full(count, WIDE), HIGH, later, earlier)
    seconds, layout = best_of(3, lambda: lay_out_layers(np.full(count, WIDE), HIGH, later, earlier))
    bends = sum(len(line) - 2 for line in layout.lines)
    note = f"{count:,} contexts, {len(later):,} lines; {bends:,} bends; {layout.width:,.0f} × {layout.height:,.0f} mm"
    return {"seconds": seconds, "met": meeting(list(layout.lines), later, earlier), "note": note}


def with_dot(kind: str, count: int) -> dict[str, Any]:
    """Lay out with graphviz."""
    _, later, earlier = graph(kind, count)
    head = (
        f"digraph{{node[shape=box,fixedsize=true,width={WIDE / 25.4},height={HIGH / 25.4}];splines=polyline;edge[arrowhead=none];"
    )
    text = head + ";".join(f"{a}->{b}" for a, b in zip(later, earlier, strict=True)) + "}"
    seconds, done = best_of(1, lambda: subprocess.run(["dot", "-Tplain"], input=text, capture_output=True, text=True, check=True))
    found = {}
    for words in (line.split() for line in done.stdout.splitlines()):
        if words[0] == "edge":  # a polyline comes as a spline with its bends at every third point
            points = np.array(words[4 : 4 + 2 * int(words[3])], dtype=float).reshape(-1, 2)
            found[int(words[1]), int(words[2])] = points[::3]
    return {"seconds": seconds, "met": meeting([found[pair] for pair in zip(later, earlier, strict=True)], later, earlier)}


def with_elkjs(kind: str, count: int, folder: str) -> dict[str, Any]:
    """Lay out with elkjs, its layered layout with right-angled lines."""
    count, later, earlier = graph(kind, count)
    options = {"elk.algorithm": "layered", "elk.direction": "DOWN", "elk.edgeRouting": "ORTHOGONAL"}
    boxes = [{"id": f"c{one}", "width": WIDE, "height": HIGH} for one in range(count)]
    lines = [
        {"id": f"r{n}", "sources": [f"c{a}"], "targets": [f"c{b}"]} for n, (a, b) in enumerate(zip(later, earlier, strict=True))
    ]
    with tempfile.TemporaryDirectory() as place:
        given, script = Path(place) / "graph.json", Path(place) / "lay.cjs"
        given.write_text(json.dumps({"id": "all", "layoutOptions": options, "children": boxes, "edges": lines}), encoding="utf-8")
        script.write_text(SCRIPT, encoding="utf-8")
        command = ["node", "--stack-size=8000", str(script), folder, str(given)]
        done = json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
    return {"seconds": done["seconds"], "met": meeting(done["lines"], later, earlier)}


JOBS = {f.__name__: f for f in (ours, with_dot, with_elkjs)}


def add(section: Section, kind: str, count: int, elk: str | None) -> None:
    """Add the rows of one graph."""
    mine = run_apart(__file__, "ours", kind=kind, count=count)
    measure, name = Measure(mine["seconds"], mine["megabytes"]), f"{count:,} {kind}" if count else kind.removesuffix(".csv")
    for them, present, settings in (("dot", shutil.which("dot"), {}), ("elkjs", elk and shutil.which("node"), {"folder": elk})):
        note = f"ours {mine['met']:,} meet"
        if not present:
            section.add(Row(name, measure, None, f"{them} not run: not found", f"{note}; {mine['note']}"))
            continue
        try:
            theirs = run_apart(__file__, f"with_{them}", timeout=600, kind=kind, count=count, **settings)
        except (RuntimeError, subprocess.TimeoutExpired):
            section.add(Row(name, measure, None, f"{them} gave up", f"{note}; {mine['note']}"))
            continue
        section.add(Row(name, measure, Measure(theirs["seconds"]), them, f"{note}, {them} {theirs['met']:,}; {mine['note']}"))


def run(sheet: Sheet) -> None:
    """Add the section on the diagram."""
    section = sheet.section("Diagram of the order", TEXT)
    elk = next((str(Path(place).resolve()) for place in ELK if place and Path(place).is_dir()), None)
    for kind, sizes in (("deep", (20, 300, 1000, 3000, 5000)), ("wide", (300, 1000, 3000))):
        for count in sizes:
            add(section, kind, count, elk)
    for name in ("debian12_depends_edges.csv", "git_xarray.csv"):
        if (DATA / name).is_file():
            add(section, name, 0, elk)


if __name__ == "__main__":
    serve(JOBS)
