"""Photos and sketches: marked points fit as the command fits them, a photo lies beneath the plan, a sketch is kept twice."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, Route, expect

from baulk.errors import FileError
from baulk.record import Drawing, Element, Photo, PhotoPoint, Unit
from baulk.store import FileShelf, open_site
from baulk.work.demo import DemoSites
from baulk.work.pen import Pen
from baulk.work.rectify import rectify_photo
from tests.browser.drawing_hand import Hand, arrives, choose_context, choose_tool, drawing
from tests.browser.recording import Devices, ServedSite, served_to_devices
from tests.browser.waiting import comes_to, painted, until
from tests.server.test_photo_routes import GROUND, photo_file, pixel

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def recorded(demo: DemoSites, tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedSite]:
    """The demo with one more photo, of the floor with one sett, served to devices."""
    folder = tmp_path_factory.mktemp("photographed")
    with open_site(demo.good, read_only=True) as held:
        changes = list(held.changes())
    site = folder / "site.gpkg"
    sha = FileShelf(folder / "site.files").keep(photo_file())
    with open_site(site, create=True) as store:
        store.append(changes)
        unit = store.record().numbered(Unit, "1").id
        store.append([Pen("RM", "office").create("photo", {"number": "P90", "file": sha, "unit": unit, "subject": "Floor"})])
    yield from served_to_devices(site, tmp_path_factory.mktemp("served"))


@pytest.fixture
def devices(browser: Browser, recorded: ServedSite) -> Iterator[Devices]:
    """Devices on which people join."""
    found = Devices(browser, recorded)
    yield found
    found.close()


def mark(hand: Hand, name: str, ground: tuple[float, float], seen: tuple[float, float]) -> None:
    """Mark a point by typing its pixel, its name and its place."""
    page = hand.page
    page.get_by_role("textbox", name="Column").fill(f"{seen[0]:.1f}")
    page.get_by_role("textbox", name="Row").fill(f"{seen[1]:.1f}")
    page.get_by_role("button", name="Set point").click()
    page.get_by_label("Name of the point").fill(name)
    form = page.locator("form").filter(has=page.get_by_role("button", name="Keep the point"))
    form.get_by_label("Easting").fill(str(ground[0]))
    form.get_by_label("Northing").fill(str(ground[1]))
    form.get_by_role("button", name="Keep the point").click()
    expect(page.get_by_label("Name of the point")).to_have_value("")


def test_marked_points_fit_as_the_command_fits_them(devices: Devices, recorded: ServedSite, tmp_path: Path) -> None:
    """Residuals shown and table saved are those that `baulk rectify` gives and reads; then the photo lies beneath the plan."""
    photo = recorded.record.numbered(Photo, "P90")
    hand = drawing(devices, photo.id)
    page = hand.page
    expect(page.locator("main h1")).to_contain_text("Photo P90")
    late: list[Route] = []
    page.route(
        "**/api/photos/*/fit*", lambda route: late.append(route) if route.request.url.count("point=") < 5 else route.continue_()
    )
    for name, ground in GROUND.items():
        mark(hand, name, (ground[0] + (0.01 if name == "M" else 0), ground[1]), pixel(*ground))
        if name == list(GROUND)[3]:
            expect(page.locator("caption")).to_have_text("4 points marked; how they fit is being worked out")
    expect(page.locator("caption")).to_contain_text("How they fit")
    assert late
    for asked in late:  # the answers about four points come after the one about all five
        with page.expect_response("**/api/photos/*/fit*"):
            asked.continue_()
    painted(page)
    expect(page.locator("tbody tr").filter(has_text=re.compile(r"\d\.\d"))).to_have_count(len(GROUND))
    expect(page.locator("caption")).to_contain_text("mm left out")
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save the points as a table").click()
    assert saving.value.suggested_filename == "P90-points.csv"
    table = tmp_path / "points.csv"
    saving.value.save_as(table)
    (tmp_path / "out").mkdir()
    office = recorded.office.study()
    assert office.files is not None
    fit = rectify_photo(recorded.record, office.files.path(photo.file or ""), table, tmp_path / "out").fit
    comes_to(lambda: residuals(page), [pytest.approx(pair, abs=0.06) for pair in fit.residuals.tolist()])
    expect(page.locator("caption")).to_contain_text(fit.check)
    points = [one for one in arrives(recorded, 0, PhotoPoint, 5) if isinstance(one, PhotoPoint)]
    assert [(one.point, one.photo) for one in points] == [(name, photo.id) for name in GROUND]
    beneath(page, recorded)


def residuals(page: Page) -> list[list[float]]:
    """Return by how much each point misses as the table shows it."""
    rows = page.locator("tbody tr").all_inner_texts()
    return [[float(cell) for cell in re.findall(r"-?\d+\.\d", row)[:2]] for row in rows]


def beneath(page: Page, recorded: ServedSite) -> None:
    """Lay the marked photo beneath the plan, ask for the sett's outline and take it."""
    before = len(recorded.record.all(Element))
    hand = Hand(page)
    page.goto(f"{recorded.address}#/draw/1%2Fplan")
    page.locator("main .frame[data-view]").wait_for()
    choose_tool(page, "Photo beneath")
    page.get_by_role("combobox", name="Photo beneath", exact=True).select_option(label="P90 · Floor")
    expect(page.locator(".sheet .said")).to_contain_text("Photo P90 lies beneath")
    sett = [hand.on_page((112.6 + east / 100, 205.3 + north / 100)) for east in range(-8, 9, 2) for north in (-3, 0, 3)]
    page.mouse.move(1, 1)
    stone = [part * 0.85 + 255 * 0.15 for part in (150, 140, 120)]

    def share_of_stone() -> float:
        seen = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
        alike = [at for at in sett if seen.getpixel((round(at[0]), round(at[1]))) == pytest.approx(stone, abs=3)]
        return len(alike) / len(sett)

    until(lambda: share_of_stone() > 1 / 4)  # lines of the record lie over the rest
    choose_context(page, "Structure", "109")
    hand.press((112.6, 205.3))
    page.get_by_role("button", name="Ask for outlines").click()
    page.get_by_role("button", name="Take", exact=False).first.wait_for()
    page.locator(".panel li").get_by_role("button", name=re.compile("^Take ")).click()
    piece = arrives(recorded, before, Element)[-1]
    assert isinstance(piece, Element)
    assert piece.ring is not None
    assert piece.recorded_by == "AK"
    assert "to be confirmed" not in (piece.notes or "")
    middle = sum(spot.easting for spot in piece.ring) / len(piece.ring), sum(spot.northing for spot in piece.ring) / len(piece.ring)
    assert middle == pytest.approx((112.6, 205.3), abs=0.01)


def test_a_mark_is_placed_by_finger_with_the_ring_above_it(devices: Devices, recorded: ServedSite) -> None:
    """A press marks the pixel under the finger; while the finger lies there the ring shows what is under it."""
    photo = recorded.record.numbered(Photo, "P90")
    hand = drawing(devices, photo.id, touch=True, width=360, height=640)
    page = hand.page
    at = (450.0, -450.0)
    x, y = hand.on_page(at)
    page.touchscreen.tap(x, y)
    said = page.locator(".sheet .said")
    expect(said).to_contain_text("column ")
    comes_to(lambda: tuple(map(float, re.findall(r"[\d.]+", said.inner_text())[:2])), pytest.approx((450, 450), abs=4))
    session = page.context.new_cdp_session(page)
    session.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    session.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x + 2, "y": y}]})
    expect(page.locator(".lens")).to_be_visible()
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    expect(page.locator(".lens")).to_have_count(0)


def test_a_sketch_is_kept_as_lines_and_as_a_picture(devices: Devices, recorded: ServedSite) -> None:
    """Strokes and words become one drawing record with an SVG of paths and texts and a PNG; shown again it is the same."""
    before = len(recorded.record.all(Drawing))
    hand = drawing(devices)
    page = hand.page
    choose_tool(page, "Sketch")
    hand.mouse([(112.2, 204.2), (112.8, 204.8), (113.4, 204.2)])
    expect(page.locator(".draft path.pen")).to_have_css("stroke", "rgb(18, 66, 163)")
    page.get_by_role("group", name="What a press does").get_by_text("writes").click()
    page.get_by_label("Words to write").fill('edge <b>"cut"</b> & soft')
    hand.press((112.9, 204.5))
    page.get_by_label("What it shows").fill("Where the edge was lost")
    page.get_by_role("button", name="Keep the sketch").click()
    expect(page.locator(".sheet .said")).to_contain_text("as lines and as a picture")
    sheet = arrives(recorded, before, Drawing)[-1]
    assert isinstance(sheet, Drawing)
    assert (sheet.kind, sheet.notes, sheet.drawn_by) == ("sketch", "Where the edge was lost", "AK")
    assert sheet.absences["scale"] == "not applicable"
    files = recorded.office.study().files
    assert files is not None
    assert sheet.file
    assert sheet.picture
    until(
        lambda: all(Path(files.folder, name[:2]).exists() or kept(files, name) for name in (sheet.file or "", sheet.picture or ""))
    )
    until(lambda: kept(files, sheet.file or "") and kept(files, sheet.picture or ""))
    root = ElementTree.fromstring(files.path(sheet.file).read_bytes())
    names = {element.tag.rsplit("}", 1)[-1] for element in root.iter()}
    assert names == {"svg", "g", "path", "text"}
    (text,) = [element for element in root.iter() if element.tag.endswith("text")]
    assert text.text == 'edge <b>"cut"</b> & soft'
    with Image.open(files.path(sheet.picture)) as picture:
        assert picture.format == "PNG"
        assert max(picture.size) == 1600
        assert len(picture.convert("RGB").getcolors(1_000_000) or []) > 1
    page.get_by_role("checkbox", name=re.compile(r"^Show \d")).check()
    expect(page.locator(".draft text.written")).to_have_text('edge <b>"cut"</b> & soft')
    expect(page.locator(".draft path:not(.halo, .hair)")).to_have_count(1)


def kept(files: FileShelf, sha: str) -> bool:
    """Tell whether a file is whole on the shelf."""
    try:
        return files.path(sha).is_file()
    except FileError:
        return False
