"""What an SVG file draws once its references are followed: it must end, and stay within the limits."""

from __future__ import annotations

import re
from xml.etree.ElementTree import Element  # a tree that is there already

from bodymap.exchange.svg_limits import (
    ARC_CHARS_MOST,
    DEPTH_MOST,
    PATHS_CHARS_MOST,
    TRANSFORM_CHARS_MOST,
    USED_MOST,
    refused,
)

# An arc takes longer to read than anything else in a path.
_ARCS = re.compile(r"[aA][^a-df-zA-DF-Z]*")
_USES_DEEPER = 20


def check_uses(root: Element) -> None:
    """That what is drawn from references ends, and stays small, and that no transform is nested without measure.

    Raises:
        BodymapError: a reference that goes round, or brings in too much.
    """
    counting = _Counting(root)
    counting.visit(root, 0, 1)


class _Counting:
    """Walks the tree as it will be drawn, references followed."""

    def __init__(self, root: Element) -> None:
        self.by_id = {element.get("id"): element for element in root.iter() if element.get("id")}
        self.open: set[str] = set()
        self.used = self.transforms = self.paths = self.arcs = 0

    def visit(self, element: Element, transform_chars: int, depth: int) -> None:
        if depth > DEPTH_MOST + _USES_DEEPER:
            raise refused("references nested too deep", f"at most {DEPTH_MOST + _USES_DEEPER} elements inside one another")
        transform_chars += (
            len(element.get("transform", "")) + len(element.get("style", "")) + len(element.get("viewBox", ""))
        )
        if self.open:
            self.used += 1
            if self.used > USED_MOST:
                raise refused(f"references that draw more than {USED_MOST} elements", f"at most {USED_MOST} drawn by <use>")
        self.transforms += transform_chars
        if self.transforms > TRANSFORM_CHARS_MOST:
            raise refused("transforms nested in transforms without measure", "fewer: apply the transforms of groups")
        self._measure(element.get("d", ""), element.get("points", ""))
        for child in element:
            self.visit(child, transform_chars, depth + 1)
        target = (element.get("href") or "#")[1:]
        if element.tag == "use" and target in self.by_id:
            if target in self.open:
                raise refused(f"a reference that goes round (#{target[:60]})", "references that end")
            self.open.add(target)
            self.visit(self.by_id[target], transform_chars, depth + 1)
            self.open.discard(target)

    def _measure(self, path: str, points: str) -> None:
        self.paths += len(path) + len(points)
        self.arcs += sum(len(arcs) for arcs in _ARCS.findall(path))
        if self.arcs > ARC_CHARS_MOST:
            raise refused(
                f"more than {ARC_CHARS_MOST} characters of arcs", f"at most {ARC_CHARS_MOST}: simplify the drawing"
            )
        if self.paths > PATHS_CHARS_MOST:
            raise refused(
                f"more than {PATHS_CHARS_MOST} characters of paths", f"at most {PATHS_CHARS_MOST}: simplify the drawing"
            )
