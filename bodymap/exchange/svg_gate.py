"""What is let in of an SVG file: its plain shapes, within limits, rebuilt as a tree of our own.

An SVG file may come from anywhere. Entities, a document type with content, scripts and event handlers, references that
go round or multiply, and sizes that no outline of a vehicle has are refused before any drawing is read. What is harmless
and no outline (text, pictures, gradients, masks) is left out, and a note says so. Nothing outside the file is fetched.

The rebuilt tree has no namespaces, only the attributes that make geometry, and a number on every element (`KEY` on
shapes, `GROUP` on what holds them, `USED` on uses), by which its names are found again.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.etree.ElementTree import Element, ParseError, SubElement  # only to build: files are read by defusedxml

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import iterparse

from bodymap.exchange.svg_limits import (
    ATTRIBUTE_CHARS_MOST,
    BYTES_MOST,
    DEPTH_MOST,
    ELEMENTS_MOST,
    PATH_CHARS_MOST,
    STYLE_CHARS_MOST,
    refused,
)
from bodymap.exchange.svg_percent import Frame, frame_of, resolve
from bodymap.exchange.svg_style import kept_style, style_rules
from bodymap.exchange.svg_uses import check_uses

KEY, GROUP, USED = "data-key", "data-group", "data-used"
SHAPES = frozenset({"path", "rect", "circle", "ellipse", "line", "polyline", "polygon"})
_HOLDERS = {"svg": "svg", "g": "g", "a": "g", "switch": "g", "defs": "defs", "symbol": "g"}
# By element: what makes its geometry, and what each counts as where it does not stand. Every shape says all of its own,
# because the reader behind would otherwise let it take a width or a place from what holds it.
_OWN: dict[str, dict[str, str | None]] = {
    "path": {"d": ""},
    "rect": {"x": "0", "y": "0", "width": "0", "height": "0", "rx": None, "ry": None},
    "circle": {"cx": "0", "cy": "0", "r": "0"},
    "ellipse": {"cx": "0", "cy": "0", "rx": "0", "ry": "0"},
    "line": {"x1": "0", "y1": "0", "x2": "0", "y2": "0"},
    "polyline": {"points": ""},
    "polygon": {"points": ""},
    "use": {"x": "0", "y": "0"},
    "svg": {"x": None, "y": None, "width": None, "height": None, "viewBox": None, "preserveAspectRatio": None},
}
_OF_ALL = ("id", "class", "display", "transform", "fill-rule")
_LONG = frozenset({"d", "points"})
_CHECKED = {name.lower() for name in (*_OF_ALL, *(name for own in _OWN.values() for name in own), "style")}
_LEFT_OUT = {
    "text": "text: turn it into paths where it is wanted",
    "image": "pictures",
    "foreignObject": "foreign objects",
    "clipPath": "clipping: clipped shapes came in whole",
    "mask": "masks: masked shapes came in whole",
    "pattern": "patterns",
    "marker": "markers",
    "animate": "animation",
    "animateTransform": "animation",
}
_NAMESPACE = "{http://www.w3.org/2000/svg}"
_DOCTYPE = re.compile(rb"<!DOCTYPE\s+svg\s+(?:PUBLIC\s+\"[^\"<>\[\]]*\"\s+\"[^\"<>\[\]]*\"|SYSTEM\s+\"[^\"<>\[\]]*\")\s*>")
_PROLOG_BYTES = 2_000


@dataclass
class Gated:
    """A file that was let in.

    Attributes:
        root: the rebuilt tree.
        names: by number, what an element is called (label, title, id, class; the best first).
        parents: by number, the number of what holds an element.
        notes: what was left out.
    """

    root: Element
    names: dict[str, tuple[str, ...]] = field(default_factory=dict)
    parents: dict[str, str] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def chain(self, key: str | None) -> Iterator[tuple[str, ...]]:
        """The names of an element and of all that hold it, from the inside out."""
        while key:
            yield self.names.get(key, ())
            key = self.parents.get(key)


def gated(data: bytes) -> Gated:
    """The plain shapes of an SVG file.

    Raises:
        BodymapError: no SVG, or one that is refused: what was found and what is allowed.
    """
    if data[:2] == b"\x1f\x8b":
        raise refused("a compressed file (.svgz)", "an SVG file as plain text: unpack it, or save it as plain SVG")
    if len(data) > BYTES_MOST:
        raise refused(f"{len(data)} bytes", f"at most {BYTES_MOST} bytes")
    tree = _tree(data)
    if _plain(tree.tag) != "svg":
        raise refused(f"an XML file of <{str(tree.tag)[:60]}>", "an SVG file, whose outermost element is <svg>")
    gate = _Rebuilding()
    gate.run(tree)
    check_uses(gate.gated.root)
    return gate.gated


def _tree(data: bytes) -> Element:
    """The tree of a file, read step by step so that the limits hold while it is read."""
    # The document types that drawing programs write name a public description and hold nothing themselves.
    data = _DOCTYPE.sub(b"", data[:_PROLOG_BYTES], count=1) + data[_PROLOG_BYTES:]
    depth = count = 0
    root: Element | None = None
    try:
        for event, element in iterparse(io.BytesIO(data), events=("start", "end"), forbid_dtd=True):
            if event == "end":
                depth -= 1
                continue
            root = element if root is None else root
            depth, count = depth + 1, count + 1
            if depth > DEPTH_MOST:
                raise refused(f"elements nested more than {DEPTH_MOST} deep", f"at most {DEPTH_MOST}: ungroup the drawing")
            if count > ELEMENTS_MOST:
                raise refused(
                    f"more than {ELEMENTS_MOST} elements", f"at most {ELEMENTS_MOST}: leave out what is no outline"
                )
    except DefusedXmlException as error:
        raise refused(
            f"a document type or entities ({type(error).__name__})", "an SVG file without them: save it as plain SVG"
        ) from error
    except (ParseError, ValueError, LookupError) as error:
        raise refused(f"no XML that can be read ({error})", "an SVG file") from error
    if root is None:
        raise refused("nothing", "an SVG file")
    return root


class _Rebuilding:
    """One rebuilding of a tree; the depth of the tree is known to be small."""

    def __init__(self) -> None:
        self.gated = Gated(Element("svg"))
        self.style_chars = self.number = 0
        self.left_out: set[str] = set()

    def run(self, tree: Element) -> None:
        self._copy(self.gated.root, tree, "")
        frame = frame_of(self.gated.root, None)
        for child in tree:
            self._take(child, self.gated.root, "", frame)
        self.gated.notes += [f"left out: {what}" for what in sorted(self.left_out)]

    def _take(self, element: Element, into: Element, parent: str, frame: Frame) -> None:
        tag = _plain(element.tag)
        if tag == "script":
            raise refused("a script", "a drawing without scripts: save it as plain SVG")
        if tag == "style":
            self._style(element, into)
        elif tag in SHAPES or tag in _HOLDERS or tag == "use":
            self._element(element, tag, into, parent, frame)
        else:
            if tag in _LEFT_OUT:
                self.left_out.add(_LEFT_OUT[tag])
            for inner in element.iter():  # what is left out may still try something
                if _plain(inner.tag) == "script":
                    raise refused("a script", "a drawing without scripts: save it as plain SVG")
                self._check_attributes(inner)

    def _element(self, element: Element, tag: str, into: Element, parent: str, frame: Frame) -> None:
        if tag == "symbol":  # drawn only where it is used
            into = SubElement(into, "defs")
            if "viewBox" in element.attrib:
                self.left_out.add("the viewBox of symbols: check the size of what was drawn from one")
        made = SubElement(into, _HOLDERS.get(tag, tag))
        key = self._copy(made, element, parent)
        self.left_out.update(resolve(made, frame))
        if tag == "svg":
            frame = frame_of(made, frame)
        if tag == "svg" and "viewBox" not in made.attrib:
            made.tag = "g"
            made.set(
                "transform", f"{made.get('transform', '')} translate({made.get('x', '0')},{made.get('y', '0')})".strip()
            )
        made.set(KEY if tag in SHAPES else USED if tag == "use" else GROUP, key)
        if tag in _HOLDERS:
            for child in element:
                self._take(child, made, key, frame)

    def _copy(self, made: Element, element: Element, parent: str) -> str:
        """Copy the attributes that make geometry; note the names. Returns the number of the element."""
        self.number += 1
        key = str(self.number)
        self._check_attributes(element)
        own = _OWN.get(_plain(element.tag), {})
        for name, default in own.items():
            if default is not None and name not in element.attrib:
                made.set(name, default)
        for name, value in element.attrib.items():
            if name in own or name in _OF_ALL:
                made.set(name, value)
            elif name == "style":
                made.set("style", kept_style(value))
            elif name.rsplit("}", 1)[-1] == "href" and made.tag == "use":
                self._reference(made, value)
            elif name == "clip-path":
                self.left_out.add(_LEFT_OUT["clipPath"])
            if "transform-origin" in (name, value[:2000] if name == "style" else ""):
                self.left_out.add("transform-origin: check the place of what was turned")
        self.gated.names[key] = _names(element)
        self.gated.parents[key] = parent
        return key

    def _reference(self, made: Element, value: str) -> None:
        if value.startswith("#"):
            made.set("href", value)
        else:
            self.left_out.add("what is drawn from other files: nothing outside this file is read")

    def _check_attributes(self, element: Element) -> None:
        for name, value in element.attrib.items():
            plain = name.rsplit("}", 1)[-1].lower()
            if name.lower().startswith("on"):
                raise refused(f"an event handler ({plain[:40]})", "a drawing without scripts: save it as plain SVG")
            if plain == "href" and value.strip().lower().startswith(("javascript:", "data:text", "data:application")):
                raise refused("a script in a link", "a drawing without scripts: save it as plain SVG")
            self._check_length(plain, value)

    def _check_length(self, name: str, value: str) -> None:
        if name in _LONG and len(value) > PATH_CHARS_MOST:
            raise refused(f"a path of {len(value)} characters", f"at most {PATH_CHARS_MOST}: simplify the path")
        if name in _CHECKED - _LONG and len(value) > ATTRIBUTE_CHARS_MOST:
            raise refused(f"{name} of {len(value)} characters", f"at most {ATTRIBUTE_CHARS_MOST}")

    def _style(self, element: Element, into: Element) -> None:
        text = element.text or ""
        self.style_chars += len(text)
        if self.style_chars > STYLE_CHARS_MOST:
            raise refused(f"more than {STYLE_CHARS_MOST} characters of style sheets", f"at most {STYLE_CHARS_MOST}")
        SubElement(into, "style").text = style_rules(text)


def _plain(tag: object) -> str:
    """The tag of an SVG element without its namespace; empty for anything else (comments, other namespaces)."""
    if not isinstance(tag, str):
        return ""
    return tag.removeprefix(_NAMESPACE) if tag.startswith(_NAMESPACE) or not tag.startswith("{") else ""


def _names(element: Element) -> tuple[str, ...]:
    """What an element is called: its layer label, its title, its id, its classes."""
    labels = [value for name, value in element.attrib.items() if name.rsplit("}", 1)[-1] in ("label", "data-name")]
    titles = [child.text or "" for child in element if _plain(child.tag) == "title"]
    found = [*labels, *titles, element.get("id", ""), element.get("class", "")]
    return tuple(" ".join(name.split())[:120] for name in found if name.strip())
