"""A hand on the sheet: fingers, pen and mouse at places of the sheet, as the browser itself brings them to the page."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from playwright.sync_api import Page

from baulk.record import SiteRecord, Unit
from tests.browser.recording import Devices, ServedSite
from tests.browser.waiting import until

At = tuple[float, float]


@dataclass
class Hand:
    """A hand on the sheet of a page."""

    page: Page

    def view(self) -> tuple[float, float, float, float, float]:
        """Return the sheet's middle, its scale, and where the middle stands on the page."""
        frame = self.page.locator("main .frame")
        frame.evaluate("one => one.scrollIntoView({ block: 'center' })")
        across, up, scale = map(float, (frame.get_attribute("data-view") or "").split())
        box = frame.locator("canvas").first.bounding_box()
        assert box is not None
        return across, up, scale, box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    def on_page(self, at: At) -> At:
        """Return where a place of the sheet stands on the page."""
        across, up, scale, x, y = self.view()
        return x + (at[0] - across) * scale, y - (at[1] - up) * scale

    def path(self, places: Sequence[At], step: float = 4) -> list[At]:
        """Return the way along places in steps of a few pixels."""
        spots = [self.on_page(place) for place in places]
        way = [spots[0]]
        for (x, y), (to_x, to_y) in pairwise(spots):
            count = max(1, math.ceil(math.hypot(to_x - x, to_y - y) / step))
            way += [(x + (to_x - x) * part / count, y + (to_y - y) * part / count) for part in range(1, count + 1)]
        return way

    def finger(self, places: Sequence[At]) -> None:
        """Draw along places with one finger."""
        self.touches([[spot] for spot in self.path(places)])

    def touches(self, steps: Sequence[Sequence[At]]) -> None:
        """Lay fingers down, move them step by step, and lift them; places are those of the page."""
        session = self.page.context.new_cdp_session(self.page)
        for order, spots in enumerate(steps):
            points = [{"x": x, "y": y, "id": finger} for finger, (x, y) in enumerate(spots)]
            session.send("Input.dispatchTouchEvent", {"type": "touchStart" if order == 0 else "touchMove", "touchPoints": points})
        session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        session.detach()

    def mouse(self, places: Sequence[At]) -> None:
        """Draw along places with the mouse."""
        way = self.path(places)
        self.page.mouse.move(*way[0])
        self.page.mouse.down()
        for spot in way[1:]:
            self.page.mouse.move(*spot)
        self.page.mouse.up()

    def pen(self, places: Sequence[At]) -> None:
        """Draw along places with a pen."""
        session = self.page.context.new_cdp_session(self.page)
        way = self.path(places)
        for order, (x, y) in enumerate([*way, way[-1]]):
            kind = "mousePressed" if order == 0 else "mouseReleased" if order == len(way) else "mouseMoved"
            session.send(
                "Input.dispatchMouseEvent",
                {"type": kind, "x": x, "y": y, "button": "left", "buttons": 1, "clickCount": 1, "pointerType": "pen"},
            )
        session.detach()

    def press(self, at: At) -> None:
        """Press a place with the mouse."""
        self.page.mouse.click(*self.on_page(at))


def drawing(devices: Devices, sheet: str = "plan", page: Page | None = None, **more: Any) -> Hand:
    """Open a sheet of unit 1 on a device and return the hand on it."""
    page = page or devices.join(**more)
    page.goto(f"{devices.site.address}#/draw/1%2F{sheet}")
    page.locator("main .frame[data-view]").wait_for()
    return Hand(page)


def choose_tool(page: Page, name: str) -> None:
    """Take a tool in hand, on a wide page or a narrow one."""
    radio = page.get_by_role("radio", name=name, exact=True)
    if radio.count():
        radio.check(force=True)
    else:
        page.locator(".desk .tools select").select_option(label=name)


def choose_context(page: Page, label: str, number: str) -> None:
    """Choose a context in a list of the panel, or of the bar at the sheet."""
    box = page.locator(".desk").get_by_role("combobox", name=label, exact=True)
    value = box.locator("option").filter(has_text=number).first.get_attribute("value")
    box.select_option(value=value)


def unit_one(record: SiteRecord) -> Unit:
    """Return unit 1."""
    return record.numbered(Unit, "1")


def arrives(site: ServedSite, before: int, kind: type, count: int = 1) -> list[object]:
    """Wait until so many more records of a kind are on the server, and return all of them, oldest first."""
    until(lambda: len(site.record.all(kind)) >= before + count)
    return sorted(site.record.all(kind), key=lambda one: one.id)
