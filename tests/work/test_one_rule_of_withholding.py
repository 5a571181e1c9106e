"""No output for the crew or the public holds anything of a possible burial, whichever way out of the record it takes."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import pypdf
import pytest
from click.testing import CliRunner
from fastapi.testclient import TestClient
from PIL import Image

from baulk.cli import main
from baulk.errors import InputError
from baulk.record import KINDS, View
from baulk.report import to_html, to_pdf
from baulk.server import create_app
from baulk.store import FileShelf, open_site
from baulk.work.give import give
from baulk.work.lay_out import to_wgs84
from baulk.work.pen import Pen
from baulk.work.study import Study
from tests.work.telling_site import GRAVE, OPEN_WORDS, Telling, picture_with_place, telling_site


@dataclass(frozen=True)
class Told:
    """The site with its file and shelf."""

    site: Telling
    path: Path
    study: Study
    photo: str


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Told:
    """Return the telling site, kept in a file as well."""
    folder = tmp_path_factory.mktemp("telling")
    shelf = FileShelf(folder / "site.files")
    shas = {"open": shelf.keep(picture_with_place()), "sensitive": shelf.keep(picture_with_place("PNG"))}
    site = telling_site(shas)
    pen = Pen("Xq-pen", "tablet")
    with open_site(folder / "site.gpkg", create=True) as store:
        entities = site.record.by_id.values()
        store.append([
            pen.create(one.KIND, one.model_dump(mode="json", exclude={"id", "absences"}, exclude_none=True), record=one.id)
            for one in entities
        ])  # fmt: skip
        assert set(store.record().by_id) == set(site.record.by_id)
    return Told(site, folder / "site.gpkg", Study(site.record, shelf), shas["open"])


def leaks(text: str, marks: Iterable[str]) -> list[str]:
    """Return the marks that stand in a text as words of their own."""
    return [mark for mark in marks if mark in text and re.search(rf"(?<![\w.-]){re.escape(mark)}(?![\w-])", text)]


def tables(told: Told, folder: Path, form: str, view: View) -> str:
    """Return all that `give` writes in one form."""
    restricted, public = view is View.RESTRICTED, view is View.PUBLIC
    given = give(told.site.record, folder / f"{form}-{view}", form=form, restricted=restricted, public=public)
    assert given.files
    held = [path.read_text(encoding="utf-8") for path in given.files if path.name != "data-dictionary.csv"]
    return "\n".join([*held, *given.withheld])


def drawings(told: Told, view: View) -> str:
    """Return every drawing."""
    return "\n".join(told.study.svg(name, view) for name in told.study.drawings)


def answers(told: Told, view: View) -> str:
    """Return every JSON answer of the server."""
    client = TestClient(create_app(lambda: told.study, view=view, static=told.path.parent / "none"), base_url="http://127.0.0.1:1")
    fields = client.get("/api/fields")
    registers = [client.get(f"/api/registers/{kind['kind']}?limit=500") for kind in fields.json()]
    ids = [record["link"]["id"] for register in registers for record in register.json()["records"]]
    numbers = [
        record["link"]["label"]
        for register in registers
        for record in register.json()["records"]
        if register.json()["kind"] == "context"
    ]
    pairs = list(pairwise(numbers))
    paths = ["site", "cautions", "units", "unit/1", "order", "closing/1", *(f"record/{each}" for each in ids)]
    paths += ["order/doubts", "order/missed", "order/phases?limit=500", "readings", "readings/1", "readings/1/proposals"]
    paths += [
        f"order/{asked}"
        for one, other in pairs
        for asked in (f"why?later={one}&earlier={other}", f"why?later={other}&earlier={one}")
    ]
    paths += ["dates", "dates/chronology", *(f"dates/why?context={number}" for number in numbers)]
    got = [client.get(f"/api/{path}") for path in paths]
    sheets = [client.get(f"/api/dates/{sheet}") for sheet in ("drawing.svg", *(f"aids.svg?context={number}" for number in numbers))]
    assert {answer.status_code for answer in (*registers, *got)} == {200}
    told = (json.dumps(answer.json(), ensure_ascii=False) for answer in (*registers, *got))
    return "\n".join([*told, *(sheet.text for sheet in sheets)])


def shown(told: Told, view: View) -> str:
    """Return what `baulk show` says of the site, each kind and each numbered record with its history, as words and as JSON."""
    said = []
    for words in _asked(told):
        for form in ([], ["--json"]):
            asked = ["show", str(told.path), *words, *form, *(["--restricted"] if view is View.RESTRICTED else [])]
            said.append(CliRunner().invoke(main, asked).stdout)
    return "\n".join(said)


def weighed(told: Told, view: View) -> str:
    """Return what `baulk weigh` says of every question, as words, as JSON and as CSV."""
    said = []
    more = ["--restricted"] if view is View.RESTRICTED else []
    for words in (
        [],
        *([number, *form] for number in ("1", "2", "3") for form in (["--why"], ["--next", "--json"], ["--form", "csv"])),
    ):
        said.append(CliRunner().invoke(main, ["weigh", str(told.path), *words, *more]).stdout)
    return "\n".join(said)


def _asked(told: Told) -> Iterator[list[str]]:
    yield []
    for kind in KINDS:
        yield [kind]
    for entity in told.site.record.by_id.values():
        number = getattr(entity, "number", None)
        if number and entity.KIND in ("context", "burial", "find", "photo", "sample", "follow_up", "element"):
            yield [entity.KIND, number]
            yield [entity.KIND, number, "--history"]


CREW_OUTPUTS = ("csv", "geojson", "grid-geojson", "phases", "jsonld", "drawings", "server", "show", "weigh")


def output(told: Told, folder: Path, name: str, view: View) -> str:
    """Return one output as text."""
    makers = {"drawings": drawings, "server": answers, "show": shown, "weigh": weighed}
    return makers[name](told, view) if name in makers else tables(told, folder, name, view)


@pytest.mark.parametrize("name", CREW_OUTPUTS)
def test_the_crew_sees_no_mark_of_what_is_withheld(told: Told, tmp_path: Path, name: str) -> None:
    """Not one word, figure, place or id of a withheld record is in any output that does not ask for it."""
    text = output(told, tmp_path, name, View.CREW)
    assert {mark: told.site.crew[mark] for mark in leaks(text, told.site.crew)} == {}
    corners = [f"{part:.9f}".rstrip("0") for place in GRAVE for part in _on_the_globe(told, place)]
    assert leaks(text, corners) == []
    if name not in ("phases", "jsonld"):
        assert OPEN_WORDS in text
    else:
        assert "101" in text and "3071" in text  # bare, the order hangs on it


@pytest.mark.parametrize("name", ["csv", "geojson", "grid-geojson", "drawings", "server", "show"])
def test_the_check_of_the_crews_outputs_can_fail(told: Told, tmp_path: Path, name: str) -> None:
    """Control: the same outputs, asked for as restricted, are full of the marks; the tables and the page hold nearly all."""
    found = leaks(output(told, tmp_path, name, View.RESTRICTED), told.site.crew)
    least = {"csv": 1.0, "server": 0.95, "show": 0.95, "geojson": 0.17, "grid-geojson": 0.17, "drawings": 0.012}[name]
    missing = {mark: told.site.crew[mark] for mark in told.site.crew if mark not in found}
    assert len(found) >= least * len(told.site.crew), missing


def test_the_globes_corners_are_those_that_geojson_would_tell(told: Told, tmp_path: Path) -> None:
    """Control: the longitudes and latitudes looked for are those of the grave as it is given when asked for."""
    text = tables(told, tmp_path, "geojson", View.RESTRICTED)
    assert all(leaks(text, [f"{part:.9f}".rstrip("0")]) for place in GRAVE for part in _on_the_globe(told, place))


def _on_the_globe(told: Told, place: tuple[float, float]) -> tuple[float, float]:
    from baulk.record import Position

    longitude, latitude = to_wgs84(told.site.record)(Position(*place))
    return round(longitude, 9), round(latitude, 9)


@pytest.mark.parametrize("name", ["csv", "phases", "jsonld", "drawings"])
def test_the_public_sees_no_name_place_or_number_either(told: Told, tmp_path: Path, name: str) -> None:
    """Public tables and drawings hold no agency field, no co-ordinate and no number of a withheld context."""
    text = output(told, tmp_path, name, View.PUBLIC)
    marks = told.site.crew | told.site.public
    assert {mark: marks[mark] for mark in leaks(text, marks)} == {}
    assert "101" in text


def test_the_public_report_holds_none_of_it(told: Told) -> None:
    """Neither the public page nor the words of the public PDF hold a mark; the agency's report, the control, holds many."""
    marks = told.site.crew | told.site.public
    report = told.study.report("u-1", public=True, written="2026-05-20")
    pdf = "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(to_pdf(report))).pages)
    for text in (to_html(report), pdf):
        assert {mark: marks[mark] for mark in leaks(text, marks)} == {}
        assert OPEN_WORDS in " ".join(text.split())
    assert len(leaks(to_html(told.study.report("u-1", written="2026-05-20")), marks)) > 30


def test_a_public_map_is_refused_in_words(told: Told, tmp_path: Path) -> None:
    """A public version has no places, so it cannot be given as positions."""
    for form in ("geojson", "grid-geojson"):
        with pytest.raises(InputError, match="A public version holds no places, and GeoJSON is made of them"):
            give(told.site.record, tmp_path, form=form, public=True)


def test_a_served_photo_does_not_tell_where_it_was_taken(told: Told) -> None:
    """The pixels and the way up are those of the file, the place, artist and comment are gone; restricted, the file is whole."""
    whole = told.study.files.path(told.photo).read_bytes() if told.study.files else b""
    assert b"Xq-artist" in whole and Image.open(io.BytesIO(whole)).getexif().get_ifd(0x8825)
    sent = {}
    for view in (View.CREW, View.RESTRICTED):
        app = create_app(lambda: told.study, view=view, static=told.path.parent / "none")
        answer = TestClient(app, base_url="http://127.0.0.1:1").get(f"/api/files/{told.photo}")
        assert (answer.status_code, answer.headers["content-type"]) == (200, "image/jpeg")
        sent[view] = answer.content
    assert sent[View.RESTRICTED] == whole
    assert b"Xq" not in sent[View.CREW] and sent[View.CREW] != whole
    picture, original = Image.open(io.BytesIO(sent[View.CREW])), Image.open(io.BytesIO(whole))
    assert dict(picture.getexif()) == {0x0112: 6} and picture.getexif().get_ifd(0x8825) == {}
    assert picture.tobytes() == original.tobytes()


def test_the_page_says_when_it_is_restricted(told: Told) -> None:
    """The restricted page says so plainly and knows of burials; the crew's says nothing; the public has no page."""
    for view, notice, status in ((View.CREW, "", 404), (View.RESTRICTED, "Restricted: not for the public", 200)):
        client = TestClient(create_app(lambda: told.study, view=view, static=told.path.parent), base_url="http://127.0.0.1:1")
        assert client.get("/api/site").json()["notice"] == notice
        assert client.get("/api/registers/burial").status_code == status
    with pytest.raises(InputError, match=r"The workbench has no public view\. Give the public report instead"):
        create_app(lambda: told.study, view=View.PUBLIC)


def test_show_answers_of_a_burial_in_a_sentence(told: Told) -> None:
    """Without leave, the sentence does not even tell whether there is one; of a bare context it says that the rest is withheld."""
    burials = CliRunner().invoke(main, ["show", str(told.path), "burial", "G1"])
    assert burials.exit_code == 0
    assert burials.stdout.strip() == (
        "Every possible burial is withheld, and so is whether there is one. Ask with --restricted if you may know of burials."
    )
    bare = CliRunner().invoke(main, ["show", str(told.path), "context", "3071"]).stdout
    assert "All else of it is withheld" in bare and "[          ]" not in bare


def test_the_key_of_the_order_says_withheld_and_not_blank(told: Told) -> None:
    """For the crew, withheld contexts share one entry of the key; asked for as restricted, each has its own ground."""
    crew, restricted = told.study.svg("order"), told.study.svg("order", View.RESTRICTED)
    assert "3072, 3073, 3074, 3075: withheld" in crew
    assert "3072: 5R 4/8; composition not recorded" in restricted and "withheld" not in restricted
