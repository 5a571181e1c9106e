"""SVG drawings as they are given, made fit to stand in a page: read, checked, kept apart from each other, and redacted."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from xml.etree.ElementTree import Element, ParseError, XMLParser, fromstring, register_namespace, tostring

from baulk.errors import FileError

__all__ = ["FONT", "described", "inline_svg", "read_svg", "redacted_svg", "size_in_mm", "svg_text"]

FONT = "Source Sans Pro"
"""The family in which drawings are set in print; it is shipped with the font package and embedded in the PDF."""

_SVG = "http://www.w3.org/2000/svg"
_XLINK = "{http://www.w3.org/1999/xlink}href"
_FORBIDDEN = {"script", "foreignObject", "iframe", "image", "a", "animate", "set", "handler", "metadata", "feImage"}
_LENGTH = re.compile(r"^\s*(\d+(?:\.\d+)?|\.\d+)\s*(mm|cm|in|pt|px|)\s*$")
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "px": 25.4 / 96, "": 25.4 / 96}
_REFERENCE = re.compile(r"url\(\s*['\"]?#([^)'\"]+)['\"]?\s*\)")
_OUTSIDE = re.compile(r"url\(\s*['\"]?(?!#)[^)]*\)|@import[^;]*;?", re.IGNORECASE)
_LISTS_IDS = ("aria-labelledby", "aria-describedby")


def read_svg(text: str) -> Element:
    """Return the drawing as a tree without scripts, links and anything fetched from outside.

    Raises
    ------
    FileError
        When the text is no well-formed SVG or declares entities.
    """
    if "<!DOCTYPE" in text[:4000] or "<!ENTITY" in text:
        raise FileError("A figure of the report declares a document type: a drawing is plain SVG. Draw it again with Baulk.")
    try:
        root = fromstring(text, parser=XMLParser(encoding="utf-8"))  # noqa: S314 - no entities can be declared, see above
    except ParseError as refusal:
        raise FileError(f"A figure of the report is no SVG drawing ({refusal}). Draw it again.") from None
    if _name(root) != "svg":
        raise FileError(f"A figure of the report is <{_name(root)[:40]}>, not an SVG drawing. Draw it again.")
    _clean(root)
    return root


def _name(element: Element) -> str:
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def _clean(element: Element) -> None:
    for child in list(element):
        if _name(child) in _FORBIDDEN or not _name(child):
            element.remove(child)
        else:
            _clean(child)
    for key, value in list(element.attrib.items()):
        link = key in ("href", _XLINK)
        if key.lower().startswith("on") or (link and not value.startswith("#")) or _OUTSIDE.search(value):
            del element.attrib[key]
    if _name(element) == "style" and element.text:
        element.text = _OUTSIDE.sub("", element.text)


def size_in_mm(root: Element) -> tuple[float, float]:
    """Return width and height in mm.

    Raises
    ------
    FileError
        When the drawing does not state both.
    """
    found = [_LENGTH.match(root.get(side, "")) for side in ("width", "height")]
    if not all(found):
        raise FileError(
            "A figure of the report does not state its width and height in mm: without them it cannot be printed at scale. "
            "Draw it again."
        )
    width, height = (float(match[1]) * _MM[match[2]] for match in found if match)
    return width, height


def described(root: Element) -> tuple[str, str]:
    """Return the drawing's own title and description; empty when it has none."""
    words = {_name(child): " ".join("".join(child.itertext()).split()) for child in reversed(root)}
    return words.get("title", ""), words.get("desc", "")


def inline_svg(root: Element, prefix: str, font: str = "inherit") -> None:
    """Give every id of a drawing a prefix, so that several can stand in one page, and set its font."""
    renamed = {value: f"{prefix}-{value}" for element in root.iter() if (value := element.get("id"))}
    for element in root.iter():
        for key, value in element.attrib.items():
            element.set(key, _renamed(key, value, renamed))
        if "font-family" in element.attrib:
            element.set("font-family", font)
    root.set("font-family", font)


def _renamed(key: str, value: str, renamed: dict[str, str]) -> str:
    if key == "id":
        return renamed[value]
    if key in ("href", _XLINK) and value.startswith("#"):
        return f"#{renamed.get(value[1:], value[1:])}"
    if key in _LISTS_IDS:
        return " ".join(renamed.get(word, word) for word in value.split())
    return _REFERENCE.sub(lambda found: f"url(#{renamed.get(found[1], found[1])})", value)


def redacted_svg(root: Element, hidden: Collection[str], masked: Callable[[str], str]) -> None:
    """Take out of a drawing every group of a withheld record, and every word that must not be printed.

    Parameters
    ----------
    root : Element
    hidden : collection of str
        Ids of the withheld records; an element that carries one in any attribute is taken out with all it holds.
    masked : callable
        What the words of the drawing go through. A label that is changed by it is taken out; the title of the whole drawing
        keeps the rest of its words.
    """
    for child in list(root):
        if any(value in hidden for value in child.attrib.values()):
            root.remove(child)
            continue
        for key in ("aria-label", "data-name"):
            if key in child.attrib and masked(child.attrib[key]) != child.attrib[key]:
                del child.attrib[key]
        if child.text and masked(child.text) != child.text:
            of_the_whole = _name(root) == "svg" and _name(child) in ("title", "desc")
            child.text = masked(child.text) if of_the_whole else ""
        if child.tail and masked(child.tail) != child.tail:
            child.tail = ""
        redacted_svg(child, hidden, masked)


def svg_text(root: Element) -> str:
    """Return the drawing as text."""
    register_namespace("", _SVG)
    return tostring(root, encoding="unicode")
