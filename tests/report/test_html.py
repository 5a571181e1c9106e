"""The web report is one safe, readable, self-contained page."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from baulk.record import Context
from baulk.report import to_html
from tests.report.sample_site import bar_figure, changed, sample_record, sample_report, with_changes

HOSTILE = '</td></table><script>alert("1")</script><img src=x onerror=alert(2)> & \x00\x0b '


class Page(HTMLParser):
    """Reads the tags of a page, and checks that they are nested."""

    VOID = frozenset({"meta", "br", "img", "link", "input", "hr"})

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)
        assert not self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep the tag."""
        self.tags.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep an empty tag."""
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        """Check that the innermost open tag is closed."""
        assert self.open.pop() == tag

    def named(self, *names: str) -> list[dict[str, str | None]]:
        """Return the attributes of every tag of these names."""
        return [attrs for tag, attrs in self.tags if tag in names]


@pytest.fixture(scope="module")
def page() -> str:
    """Return the sample unit's page."""
    return to_html(sample_report())


def test_nothing_is_fetched_from_elsewhere(page):
    """No script, and no address apart from anchors within the page and the name space of SVG."""
    read = Page(page)
    assert not read.named("script", "link", "iframe", "img", "object", "embed")
    targets = [value for _, attrs in read.tags for key, value in attrs.items() if key in ("href", "src", "xlink:href")]
    assert targets
    assert all(value and value.startswith("#") for value in targets)
    assert set(re.findall(r"https?://[^\"'\s)]+", page)) == {"http://www.w3.org/2000/svg"}
    assert "@import" not in page


def test_the_page_can_be_read_by_everyone(page):
    """The page has a language, one main heading, headings without a jump, captions, scopes, and words for drawings."""
    read = Page(page)
    assert read.named("html")[0]["lang"] == "en-GB"
    levels = [int(tag[1]) for tag, _ in read.tags if re.fullmatch(r"h[1-6]", tag)]
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert len(read.named("caption")) == len(read.named("table")) > 5
    assert all(attrs.get("scope") in ("col", "row") for attrs in read.named("th"))
    drawings = read.named("svg")
    assert len(drawings) == 3
    assert all(attrs.get("role") == "img" and attrs.get("aria-label") for attrs in drawings)
    assert 'content="width=device-width' in page


def test_anchors_lead_somewhere_and_ids_are_single(page):
    """Every link of the contents has its target, and no id occurs twice, those inside drawings included."""
    read = Page(page)
    ids = [attrs["id"] for _, attrs in read.tags if "id" in attrs]
    assert len(ids) == len(set(ids))
    assert {str(attrs["href"])[1:] for attrs in read.named("a")} <= set(ids)
    for used in re.findall(r"url\(#([^)]+)\)", page):
        assert used in ids


def test_hostile_text_stays_text():
    """Mark-up in a field, a caption or a number is shown as it was typed."""
    record = sample_record()
    evil = changed(record.get(Context, "c-2"), title=HOSTILE, description=HOSTILE, number='"><b>7')
    text = to_html(sample_report(with_changes(record, evil)))
    read = Page(text)
    assert not read.named("script", "img")
    assert "&lt;script&gt;alert(&quot;1&quot;)&lt;/script&gt;" in text
    assert "\x00" not in text
    assert "\x0b" not in text


def test_hostile_drawings_are_cleaned():
    """Scripts, handlers, links and pictures from elsewhere are taken out of a drawing before it stands in the page."""
    evil = bar_figure().replace(
        "<rect",
        '<script>alert(1)</script><image href="file:///etc/passwd"/><a href="http://x.example/"><text>y</text></a>'
        '<foreignObject><b/></foreignObject><use href="http://x.example/#a"/>'
        '<rect onload="alert(3)" style="fill:url(http://x.example/p)"/><rect',
        1,
    )
    text = to_html(sample_report(plan=evil))
    assert not Page(text).named("script", "image", "foreignobject")
    for trace in ("x.example", "onload", "passwd", "alert("):
        assert trace not in text


def test_a_phone_and_a_printer_are_thought_of(page):
    """Wide tables and drawings scroll in their own frame, and print has rules of its own."""
    assert "overflow-x: auto" in page
    assert "@media (max-width: 32rem)" in page
    assert "@media print" in page
    assert page.count('<div class="wide"') == len(Page(page).named("table")) + 3
