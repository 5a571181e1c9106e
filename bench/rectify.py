"""Rectified photos: drawing a photo of 50 megapixels anew on the site grid beside plain OpenCV, and one of 200 megapixels."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))

from apart import best_of, forget_peak, run_apart, serve
from sheet import Measure, Row, Sheet

TEXT = (
    "A JPEG of 8,660 × 5,774 pixels is read and drawn on cells as fine as its own pixels, and the picture is written. "
    "*Whole job*: ours reads windows, draws bands and writes GeoTIFF, PNG and world file; theirs reads and warps the whole "
    "with OpenCV and writes one PNG at its fastest packing. *Warp alone*: both from pixels in memory. The last row is a "
    "photo of 200 megapixels on cells of 1 mm, as a crew would ask for: it is reduced as it is read."
)
GROUND = np.array([(111, 205), (113, 205), (113, 207), (111, 207), (112, 206), (112.1, 205.1), (111.1, 206.2), (112.9, 206.1)])


def marks(size: tuple[int, int]) -> np.ndarray:
    """Return where a tilted camera sees the nails."""
    east, north = (GROUND - (112, 206)).T
    depth = 1 + 0.05 * north + 0.02 * east
    scale = size[1] / 2.6
    return np.column_stack(
        [size[0] / 2 + scale * (east + 0.1 * north) / depth, size[1] / 2 - scale * (north - 0.08 * east) / depth]
    )


def make(path: str, columns: int, rows: int) -> dict[str, Any]:
    """Write the photo."""
    import cv2

    rng = np.random.default_rng(0)
    small = rng.integers(30, 220, (rows // 16 + 1, columns // 16 + 1, 3), dtype=np.uint8)
    picture = cv2.resize(small, (columns, rows), interpolation=cv2.INTER_LINEAR)
    cv2.imwrite(path, picture, [cv2.IMWRITE_JPEG_QUALITY, 85])
    return {"seconds": 0.0}


def fitted(size: tuple[int, int]) -> Any:
    """Return the fit."""
    from baulk.ground.rectify import rectify

    return rectify(marks(size), GROUND, size, lens=None)


def ours(path: str, points: str, folder: str, cell: float | None) -> dict[str, Any]:
    """Do the whole job, the loops already compiled."""
    from baulk.ground.raster import raster_for
    from baulk.ground.warp import PlainPixels, warp_whole
    from baulk.record import Site, SiteRecord
    from baulk.work.rectify import rectify_photo

    found = fitted((1600, 1200))
    warp_whole(PlainPixels(np.zeros((1200, 1600, 3), np.uint8)), found, raster_for(found, cell=0.02))
    forget_peak()
    record = SiteRecord.of([Site(id="s", code="BENCH")])
    seconds, made = best_of(
        1, lambda: rectify_photo(record, Path(path), Path(points), Path(folder), cell=cell, lens=False)
    )  # fmt: skip
    return {"seconds": seconds, "note": f"{made.raster.columns:,} × {made.raster.rows:,} cells", "cell": made.raster.cell}


def with_opencv(path: str, folder: str) -> dict[str, Any]:
    """Do it with OpenCV."""
    import cv2

    from baulk.ground.raster import raster_for

    forget_peak()

    def job() -> None:
        picture = cv2.imread(path)
        found = fitted((picture.shape[1], picture.shape[0]))
        raster = raster_for(found)
        matrix = found.plane.matrix @ raster.to_ground()
        out = cv2.warpPerspective(picture, matrix, (raster.columns, raster.rows), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)
        cv2.imwrite(str(Path(folder) / "opencv.png"), out, [cv2.IMWRITE_PNG_COMPRESSION, 1])

    return {"seconds": best_of(1, job)[0]}


def warp_ours(path: str) -> dict[str, Any]:
    """Warp pixels in memory with our loop."""
    import cv2

    from baulk.ground.raster import raster_for
    from baulk.ground.warp import PlainPixels, warp_bands

    picture = cv2.imread(path)
    found = fitted((picture.shape[1], picture.shape[0]))
    raster, photo = raster_for(found), PlainPixels(picture)
    next(warp_bands(photo, found, raster))
    forget_peak()
    seconds, _ = best_of(2, lambda: [None for _ in warp_bands(photo, found, raster)])
    return {"seconds": seconds, "note": f"{raster.columns:,} × {raster.rows:,} cells"}


def warp_opencv(path: str) -> dict[str, Any]:
    """Warp pixels in memory with OpenCV; say how far apart the two pictures are."""
    import cv2

    from baulk.ground.raster import raster_for
    from baulk.ground.warp import PlainPixels, warp_bands

    picture = cv2.imread(path)
    found = fitted((picture.shape[1], picture.shape[0]))
    raster = raster_for(found)
    matrix, flags = found.plane.matrix @ raster.to_ground(), cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    forget_peak()
    seconds, out = best_of(2, lambda: cv2.warpPerspective(picture, matrix, (raster.columns, raster.rows), flags=flags))
    first = next(warp_bands(PlainPixels(picture), found, raster))
    shown = first[..., 3] > 0
    apart = int(np.abs(first[..., :3].astype(int) - out[: len(first)])[shown].max())
    return {"seconds": seconds, "apart": apart}


JOBS = {f.__name__: f for f in (make, ours, with_opencv, warp_ours, warp_opencv)}


def measured(job: str, **settings: Any) -> tuple[Measure, dict[str, Any]]:
    """Run a job apart; return its measure and its whole answer."""
    answer = run_apart(__file__, job, **settings)
    return Measure(answer["seconds"], answer["megabytes"]), answer


def run(sheet: Sheet) -> None:
    """Add the section on rectified photos."""
    section = sheet.section("Rectified photos", TEXT, libraries=("opencv-python-headless",))
    with tempfile.TemporaryDirectory() as folder:
        for megapixels, size in ((50, (8660, 5774)), (200, (17320, 11547))):
            photo, points = str(Path(folder) / f"{megapixels}.jpg"), Path(folder) / f"{megapixels}.csv"
            run_apart(__file__, "make", path=photo, columns=size[0], rows=size[1])
            rows = [f"{c:.2f},{r:.2f},{e},{n}" for (c, r), (e, n) in zip(marks(size), GROUND, strict=True)]
            points.write_text("\n".join(["column,row,easting,northing", *rows]), encoding="utf-8")
            cell = None if megapixels == 50 else 0.001
            mine, answer = measured("ours", path=photo, points=str(points), folder=folder, cell=cell)
            if megapixels == 200:
                section.add(Row("whole job, 200 MP, cells of 1 mm", mine, note=answer["note"]))
                continue
            theirs, _ = measured("with_opencv", path=photo, folder=folder)
            section.add(Row("whole job, 50 MP", mine, theirs, "OpenCV", answer["note"]))
            mine, answer = measured("warp_ours", path=photo)
            theirs, other = measured("warp_opencv", path=photo)
            note = f"{answer['note']}; at most {other['apart']} grey level apart"
            section.add(Row("warp alone, 50 MP", mine, theirs, "OpenCV", note))


if __name__ == "__main__":
    serve(JOBS)
