"""The project's own table of types: South's list as far as it is remembered. It is off until somebody asks for it.

Not one of its ranges has been seen in the book: three medians stand on a page that was read, one on a page of the NPS. Check a row
against S. South, *Method and Theory in Historical Archeology* (1977), before it is believed; better, read in your own series.
"""

from __future__ import annotations

__all__ = ["REMEMBERED_TYPES"]

REMEMBERED_TYPES = """\
# table: ceramic types after South, remembered
# version: 2026.1
type,begin,end,source,confidence,mark
brown stoneware bottles,1820,1900,South 1972 and 1977; median 1860,low,from memory
moulded white salt-glazed stoneware,1740,1765,South 1972 and 1977; median 1753,low,from memory
whiteware,1820,1900,South 1972 and 1977; median 1860,low,from memory
Littler's blue,1750,1765,South 1972 and 1977; median 1758 confirmed by a page read,middling,from memory
ironstone/granite china,1813,1900,South 1972 and 1977; median 1857,low,from memory
scratch blue,1744,1775,South 1972 and 1977; median 1760 confirmed by a page read,middling,from memory
mocha,1795,1890,South 1972 and 1977; median 1843,low,from memory
white salt-glazed stoneware,1720,1805,South 1972 and 1977; median 1763,low,from memory
"underglaze polychrome, stencilled",1820,1840,South 1972 and 1977; median 1830,low,from memory
slip-dipped white salt-glazed,1715,1775,South 1972 and 1977; median 1745,low,from memory
finger-painted wares,1790,1820,South 1972 and 1977; median 1805,low,from memory
"Westerwald, stamped",1700,1775,South 1972 and 1977; median 1738,low,from memory
embossed pearlware,1800,1820,South 1972 and 1977; median 1810,low,from memory
Nottingham stoneware,1700,1810,South 1972 and 1977; median 1755,low,from memory
willow transfer pearlware,1795,1840,South 1972 and 1977; median 1818,low,from memory
Buckley ware,1720,1775,South 1972 and 1977; median 1748,low,from memory
transfer-printed pearlware,1795,1840,South 1972 and 1977; median 1818,low,from memory
British brown stoneware,1690,1775,South 1972 and 1977; median 1733,low,from memory
underglaze polychrome pearlware,1795,1815,South 1972 and 1977; median 1805,low,from memory
refined red stoneware,1690,1775,South 1972 and 1977; median 1733,low,from memory
annular pearlware,1790,1820,South 1972 and 1977; median 1805,low,from memory
"lead-glazed, combed slipware",1670,1795,South 1972 and 1977; median 1733,low,from memory
underglaze blue hand-painted pearlware,1780,1820,South 1972 and 1977; median 1800,low,from memory
manganese mottled,1680,1750,South 1972 and 1977; median 1715,low,from memory
blue/green edged pearlware,1780,1830,South 1972 and 1977; median 1805,low,from memory
North Devon gravel-tempered,1650,1775,South 1972 and 1977; median 1713,low,from memory
undecorated pearlware,1780,1830,South 1972 and 1977; median 1805,low,from memory
North Devon sgraffito,1650,1710,South 1972 and 1977; median 1680,low,from memory
creamware,1762,1820,South 1972 and 1977; median 1791,low,from memory
deteriorated Bellarmine,1620,1700,South 1972 and 1977; median 1660,low,from memory
lighter yellow creamware,1775,1820,South 1972 and 1977; median 1798,low,from memory
blue-dash delft chargers,1620,1720,South 1972 and 1977; median 1670,low,from memory
deeper yellow creamware,1762,1780,South 1972 and 1977; median 1771 confirmed by a page read,middling,from memory
"delft, 17th century and later",1640,1800,South 1972 and 1977; median 1720,low,from memory
annular creamware,1780,1815,South 1972 and 1977; median 1798,low,from memory
decorated delft,1600,1802,"South 1972 and 1977; median 1750, which is not the middle",low,from memory
overglaze-enamelled creamware,1765,1810,South 1972 and 1977; median 1788,low,from memory
plain delft ointment pots,1700,1800,South 1972 and 1977; median 1750,low,from memory
transfer-printed creamware,1765,1815,South 1972 and 1977; median 1790,low,from memory
plain delft wash basins,1750,1800,South 1972 and 1977; median 1775 as on a page of the NPS read,middling,from memory
green-glazed cream-bodied,1759,1775,South 1972 and 1977; median 1767,low,from memory
"Chinese porcelain, underglaze blue",1660,1800,South 1972 and 1977; median 1730,low,from memory
"clouded, tortoiseshell",1740,1770,South 1972 and 1977; median 1755,low,from memory
Canton porcelain,1800,1830,South 1972 and 1977; median 1815,low,from memory
Jackfield,1740,1780,South 1972 and 1977; median 1760,low,from memory
English porcelain,1745,1795,South 1972 and 1977; median 1770,low,from memory
refined agate,1740,1775,South 1972 and 1977; median 1758,low,from memory
black basalt,1750,1820,South 1972 and 1977; median 1785,low,from memory
"""
"""CSV text for `baulk.dating.types.read_types`."""
