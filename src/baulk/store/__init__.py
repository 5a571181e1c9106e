"""Where a site's changes are kept: the site file, a store in memory, and the shelf for photographs and other files."""

from baulk.store.arriving import LARGEST_FILE, LARGEST_PIECE, Arrived, ArrivingFiles
from baulk.store.geopackage import GeoPackageStore
from baulk.store.histories import Histories
from baulk.store.memory import MemoryStore
from baulk.store.opening import open_site
from baulk.store.protocol import Store
from baulk.store.shelf import FileShelf, ShelfFault
from baulk.store.view import LeftOut

__all__ = [
    "LARGEST_FILE",
    "LARGEST_PIECE",
    "Arrived",
    "ArrivingFiles",
    "FileShelf",
    "GeoPackageStore",
    "Histories",
    "LeftOut",
    "MemoryStore",
    "ShelfFault",
    "Store",
    "open_site",
]
