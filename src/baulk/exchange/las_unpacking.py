"""Unpacks the points of a LAZ file in a process of its own: started by `baulk.exchange.las`, never imported.

The unpacking library ends the whole process when a damaged file asks it for more memory than there is; here that ends this process
alone, and the one that started it says so in words. Whole numbers of easting, northing and level go to the output as 32-bit rows.
"""

from __future__ import annotations

import sys

__all__ = ["unpack"]

MOST_MEMORY = 6 * 1024**3


def unpack(path: str, several: int) -> None:
    """Write the points of a file to the output, `several` at a time."""
    import laspy  # noqa: PLC0415  an optional part
    import numpy as np  # noqa: PLC0415  after the limit is set

    with laspy.open(path) as file:
        for points in file.chunk_iterator(several):
            held = points.array
            sys.stdout.buffer.write(np.column_stack([held["X"], held["Y"], held["Z"]]).astype("<i4").tobytes())


if __name__ == "__main__":
    try:
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    except (ImportError, OSError, ValueError):
        pass  # a machine without such limits is not protected by one
    unpack(sys.argv[1], int(sys.argv[2]))
