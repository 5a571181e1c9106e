"""The whole way of a very large site: tables to site file, site file to order, beside general graph libraries."""

from __future__ import annotations

import csv
import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))

from apart import best_of, forget_peak, run_apart, serve
from order import digest, make
from sheet import Measure, Row, Sheet

TEXT = (
    "Invented tables from a fixed seed: one row a context with kind, description and Munsell colour, one row a relation (local, as "
    "under Order) with certainty and sheet. *take* reads and checks both CSV tables and writes one site file; *order* opens that "
    "file and works out order and reduction. *Theirs* starts from the same two tables: the csv module, the library's graph, its "
    "transitive reduction; it checks no cell and keeps no file. Theirs is run on a smaller site, since neither finishes the "
    "whole within minutes."
)


def write_tables(folder: Path, count: int, rows: int) -> tuple[np.ndarray, np.ndarray]:
    """Write both tables; return the later and earlier context of each relation."""
    later, earlier = make(count, rows, "local")
    with (folder / "context.csv").open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file)
        out.writerow(("number", "kind", "description", "colour_moist", "recorded_by"))
        out.writerows((n + 1, "deposit", f"dark silty clay, spread {n}", "10YR 4/3", "AK") for n in range(count))
    with (folder / "relation.csv").open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file)
        out.writerow(("later", "earlier", "how", "certainty", "sheet"))
        ends = zip((later + 1).tolist(), (earlier + 1).tolist(), strict=True)
        out.writerows((a, b, "overlies", "firm", "both sheets") for a, b in ends)
    return later, earlier


def taken(folder: Path, count: int, rows: int) -> Path:
    """Write the tables and take them into a site file; return the file."""
    from baulk.store import open_site
    from baulk.work.pen import Pen
    from baulk.work.take import take

    write_tables(folder, count, rows)
    site = folder / "site.gpkg"
    with open_site(site, create=True) as store:
        take(store, Pen("AK", "bench"), folder)
    return site


def take_tables(count: int, rows: int) -> dict[str, Any]:
    """Read, check and write both tables."""
    from baulk.store import open_site
    from baulk.work.pen import Pen
    from baulk.work.take import take

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_tables(folder, count, rows)
        forget_peak()
        with open_site(folder / "site.gpkg", create=True) as store:
            seconds, answer = best_of(1, lambda: take(store, Pen("AK", "bench"), folder))
        size = (folder / "site.gpkg").stat().st_size / 1e6
    return {"seconds": seconds, "note": f"{answer.revision:,} records, file of {size:.0f} MB"}


def order(count: int, site: str) -> dict[str, Any]:
    """Open the site file and work out its order."""
    from baulk.store import open_site
    from baulk.work.order import order_in

    def whole() -> Any:
        with open_site(Path(site), read_only=True) as store:
            return order_in(store)

    seconds, found = best_of(1, whole)
    known, kept = found.known, found.order.reduction.kept
    numbers = np.array([int(number) - 1 for number in known.relations.names])
    later, earlier = numbers[found.order.relations.later[kept]], numbers[found.order.relations.earlier[kept]]
    return {"seconds": seconds, "kept": int(kept.sum()), "digest": digest(count, later, earlier)}


def read(site: str, what: str) -> dict[str, Any]:
    """Read the whole record, or whole columns."""
    from baulk.store import open_site

    with open_site(Path(site), read_only=True) as store:
        if what == "record":
            seconds, _ = best_of(1, store.record)
        else:
            seconds, _ = best_of(3, lambda: store.columns("relation", ["id", "later", "earlier", "how", "certainty", "sheet"]))
    return {"seconds": seconds}


def pairs(tables: str) -> list[tuple[int, int]]:
    """Return the relations of the table by the plain csv module."""
    with (Path(tables) / "relation.csv").open(encoding="utf-8", newline="") as file:
        return [(int(row["later"]) - 1, int(row["earlier"]) - 1) for row in csv.DictReader(file)]


def with_rustworkx(count: int, tables: str) -> dict[str, Any]:
    """Read and reduce with rustworkx."""
    import rustworkx

    def whole() -> Any:
        graph = rustworkx.PyDiGraph()
        graph.add_nodes_from(range(count))
        graph.add_edges_from_no_data(pairs(tables))
        return rustworkx.transitive_reduction(graph)

    seconds, (reduced, places) = best_of(1, whole)
    back = np.empty(count, np.int64)
    for old, new in dict(places).items():
        back[new] = old
    edges = np.array(reduced.edge_list())
    return {"seconds": seconds, "kept": len(edges), "digest": digest(count, back[edges[:, 0]], back[edges[:, 1]])}


def with_networkx(count: int, tables: str) -> dict[str, Any]:
    """Read and reduce with networkx."""
    import networkx

    seconds, reduced = best_of(1, lambda: networkx.transitive_reduction(networkx.DiGraph(pairs(tables))))
    edges = np.array(list(reduced.edges))
    return {"seconds": seconds, "kept": len(edges), "digest": digest(count, edges[:, 0], edges[:, 1])}


JOBS = {f.__name__: f for f in (take_tables, order, read, with_rustworkx, with_networkx)}


def measured(job: str, **settings: Any) -> tuple[Measure, dict[str, Any]]:
    """Run a job apart; return its measure and its whole answer."""
    answer = run_apart(__file__, job, **settings, timeout=900)
    return Measure(answer["seconds"], answer["megabytes"]), answer


def run(sheet: Sheet) -> None:
    """Add the section on a very large site."""
    section = sheet.section("Tables to order", TEXT, libraries=("rustworkx", "networkx"))
    mine, answer = measured("take_tables", count=100_000, rows=300_000)
    section.add(Row("take 100,000 contexts and 300,000 relations", mine, note=answer["note"]))
    for them, count, rows in (("with_networkx", 2_500, 7_500), ("with_rustworkx", 20_000, 60_000), ("", 100_000, 300_000)):
        with tempfile.TemporaryDirectory() as name:
            site = str(taken(Path(name), count, rows))
            mine, answer = measured("order", count=count, site=site)
            said = f"order and reduction, {count:,} / {rows:,}"
            if them:
                other, theirs = measured(them, count=count, tables=name)
                same = "edge sets equal" if answer["digest"] == theirs["digest"] else "EDGE SETS DIFFER"
                section.add(Row(said, mine, other, them.removeprefix("with_"), same))
                continue
            section.add(Row(said, mine, None, "not run", f"{answer['kept']:,} kept"))
            for what, name_of_it in (("columns", "six columns of 300,000 relations"), ("record", "the whole record")):
                section.add(Row(name_of_it, measured("read", site=site, what=what)[0]))


if __name__ == "__main__":
    serve(JOBS)
