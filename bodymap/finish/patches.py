"""Patches: parts of a zone with one finish, on their way through the plan, and what a strip or a coat makes of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.areas import QUARTER_SEGMENTS
from bodymap.geometry.convert import to_shapely
from bodymap.model.area import Area
from bodymap.model.stack import Extent

# Left over where two exact boundaries meet; far below anything that can be masked or measured.
SLIVER_MM2 = 1e-6


@dataclass(frozen=True)
class Missed:
    """A coat that was sprayed and did not reach a patch: the coat's step, and the steps that kept it off."""

    coat_id: str
    step: int
    because: tuple[int, ...]


@dataclass(frozen=True)
class Laid:
    """A layer on a patch, and the step that laid it (None: as found).

    `because`: where it is only mist, the steps that let no more on: a cover fitted, a mask put on.
    """

    coat_id: str
    extent: Extent
    step: int | None
    because: tuple[int, ...] = ()


@dataclass(frozen=True)
class Patch:
    """A part of a zone with one finish.

    Attributes:
        kept: it lies inside a kept area.
        known: its layers are known down to the substrate; False where nobody looked and nothing was stripped.
        missed: coats that were sprayed since it was stripped and did not reach it.
        stripped: the last step that stripped it, and in `lost` the coats that step took off.
    """

    surface: BaseGeometry
    kept: bool
    layers: tuple[Laid, ...]
    known: bool
    missed: tuple[Missed, ...] = ()
    stripped: int | None = None
    lost: frozenset[str] = frozenset()

    def bare(self, step: int) -> Patch:
        """The same patch stripped."""
        lost = frozenset(layer.coat_id for layer in self.layers)
        return replace(self, layers=(), known=True, missed=(), stripped=step, lost=lost)

    def without(self, coat_id: str, step: int, because: tuple[int, ...]) -> Patch:
        """The same patch which a coat did not reach."""
        return replace(self, missed=(*self.missed, Missed(coat_id, step, because)))

    def under(self, laid: Laid) -> Patch:
        """The same patch with one more layer."""
        return replace(self, layers=(*self.layers, laid))


@dataclass(frozen=True)
class Mask:
    """A mask that is on: what it shuts off, and the rim inside a soft edge under which mist creeps."""

    step: int
    shut: BaseGeometry
    rim: BaseGeometry


def mask_of(area: Area, step: int, mist_mm: float) -> Mask:
    """The mask that an area makes. Only a soft edge has a rim; a soft mask narrower than two rims shuts nothing off."""
    shape = to_shapely(area.shape)
    shapely.prepare(shape)
    if area.edge != "soft" or not mist_mm:
        return Mask(step, shape, shapely.Polygon())
    shut = shape.buffer(-mist_mm, quad_segs=QUARTER_SEGMENTS)
    return Mask(step, shut, surface_of(shape.difference(shut)))


def coated(patch: Patch, laid: Laid, masks: Iterable[Mask]) -> Iterator[Patch]:
    """What a coat that reaches an unmasked patch as `laid` makes of it under masks, in the order of their steps.

    Where masks overlap, what one of them shuts off stays shut off; the earliest is named as the reason.
    """
    if laid.extent == "none":
        yield patch.without(laid.coat_id, laid.step or 0, laid.because)
        return
    near = [mask for mask in masks if _reaches(mask.shut, patch.surface) or _reaches(mask.rim, patch.surface)]
    left = patch.surface
    for mask in near:
        inside, left = divided(left, mask.shut)
        if inside is not None:
            yield replace(patch, surface=inside).without(laid.coat_id, laid.step or 0, (mask.step,))
    for mask in near:
        inside, left = divided(left, mask.rim)
        if inside is not None:
            mist = replace(laid, extent="mist", because=tuple(sorted({*laid.because, mask.step})))
            yield replace(patch, surface=inside).under(mist)
    if left.area > SLIVER_MM2:
        yield replace(patch, surface=left).under(laid)


def divided(surface: BaseGeometry, by: BaseGeometry) -> tuple[BaseGeometry | None, BaseGeometry]:
    """The part of a surface inside another one (None: nothing worth the name), and the rest."""
    if by.covers(surface):
        return surface, shapely.Polygon()
    inside = surface_of(surface.intersection(by))
    if inside.area <= SLIVER_MM2:
        return None, surface
    return inside, surface_of(surface.difference(by))


def _reaches(one: BaseGeometry, other: BaseGeometry) -> bool:
    return bool(one.intersects(other) and not one.touches(other))


def surface_of(geometry: BaseGeometry) -> BaseGeometry:
    """A geometry without the points and lines which are left where surfaces only touch."""
    if geometry.geom_type in ("Polygon", "MultiPolygon"):
        return geometry
    return shapely.union_all([part for part in shapely.get_parts(geometry) if part.geom_type == "Polygon"])
