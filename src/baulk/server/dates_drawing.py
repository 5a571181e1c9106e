"""The drawings of dates, as the page asks for them."""

from __future__ import annotations

from baulk.drawing import to_svg
from baulk.record import View
from baulk.server.record_view import Shown
from baulk.work.date_drawings import aids_scene, dates_scene

__all__ = ["aids_svg", "dates_svg"]


def dates_svg(shown: Shown, *, dated: bool, absence: bool) -> str:
    """Return the dates of the contexts as SVG text: bounds, and with `dated` the chronology if it is worked out."""
    dating = shown.study.dating
    settings = dating.settings if absence else dating.settings.without_absence()
    found = dating.state(shown.viewer, settings).dated if dated else None
    scene = dates_scene(dating.bounds(shown.viewer), found, withheld=_bare(shown), restricted=shown.viewer is View.RESTRICTED)
    return to_svg(scene)


def aids_svg(shown: Shown, named: str) -> str:
    """Return the aids of one context, by number or id, as SVG text.

    Raises
    ------
    UnknownRecord
        When there is no such context.
    InputError
        When it is void.
    """
    restricted = shown.viewer is View.RESTRICTED
    return to_svg(aids_scene(shown.study.dating.bounds(shown.viewer), named, restricted=restricted))


def _bare(shown: Shown) -> frozenset[str]:
    order = shown.study.dating.order
    return frozenset(one for one in order.latest_first if shown.is_bare(one))
