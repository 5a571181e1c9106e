"""The order of the contexts and what in it needs a look."""

from __future__ import annotations

from pydantic import BaseModel, Field

from baulk.server.record_view import RecordLink, Shown
from baulk.server.unit_view import ContextLine, context_lines

__all__ = ["NoticeLine", "OrderView", "order_view"]

_PAGE = 500
_PHASE = "phase conflict"


class NoticeLine(BaseModel):
    """Something in the relations that a person has to look at."""

    what: str
    says: str
    records: list[RecordLink]


class OrderView(BaseModel):
    """The order, latest first."""

    drawing: str
    total: int
    contexts: list[ContextLine] = Field(description=f"The latest {_PAGE}.")
    notices: list[NoticeLine]


def order_view(shown: Shown) -> OrderView:
    """Return the order of the contexts."""
    order = shown.study.order
    plain = [notice for notice in order.notices if notice.what != _PHASE]
    # told from the record as shown: a conflict with a withheld phase would tell that phase
    notices = [*plain, *(notice for notice in shown.order.notices if notice.what == _PHASE)]
    return OrderView(
        drawing="order",
        total=len(order.latest_first),
        contexts=context_lines(shown, list(order.latest_first[:_PAGE])),
        notices=[NoticeLine(what=notice.what, says=notice.says, records=shown.links(notice.records)) for notice in notices[:_PAGE]],
    )
