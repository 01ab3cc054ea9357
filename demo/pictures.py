"""Small made pictures that stand for the evidence: no photograph of anything real."""

from __future__ import annotations

import csv
import hashlib
import math
import random
from collections.abc import Mapping
from pathlib import Path

import shapely
from PIL import Image, ImageDraw, ImageFilter
from shapely.geometry.base import BaseGeometry

from demo.drawing.letters import centre_lines
from demo.drawing.sheet import Outline, Sheet

RIGHTS = "made for the demo, free to use"


def source_rows(folder: Path) -> list[dict[str, object]]:
    """The evidence as `sources.csv` beside this module tells it, with the SHA-256 of each picture in `folder`."""
    with (Path(__file__).parent / "sources.csv").open(encoding="utf-8", newline="") as file:
        rows: list[dict[str, object]] = list(csv.DictReader(file))
    for row in rows:
        if row["file"]:
            row |= {"sha256": hashlib.sha256((folder / str(row["file"])).read_bytes()).hexdigest(), "rights": RIGHTS}
    return rows


def draw_all(folder: Path, side: Sheet, ghosts: Mapping[tuple[str, str], BaseGeometry]) -> None:
    """Draw every picture into `folder`."""
    _save(folder / "papers.png", _papers())
    _save(folder / "programme.png", _programme(side))
    _save(folder / "invoice.png", _invoice())
    _save(folder / "ghost.png", _ghost(ghosts))
    _save(
        folder / "section_s02.png",
        _section(
            [
                ("#7d3a2b", 15),
                ("#8d9190", 30),
                ("#8a9a76", 40),
                ("#c6902f", 30),
                ("#cdb489", 60),
                ("#c3c8ca", 25),
                ("#2f62a0", 40),
                ("#e2dcc4", 45),
            ]
        ),
    )
    _save(
        folder / "section_s47.png",
        _section([("#dcd8c8", 110), ("#c0c6c9", 25), ("#3f6fa3", 16), ("#2f62a0", 40), ("#e2dcc4", 45)]),
    )
    _save(folder / "weld.png", _weld())
    _save(folder / "cues.png", _cues())


def _save(path: Path, image: Image.Image) -> None:
    image.convert("RGB").quantize(48, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE).save(path, optimize=True)


def _text(draw: ImageDraw.ImageDraw, text: str, x: float, y: float, high: float, ink: str, weight: int = 1) -> None:
    """Words in our own strokes; letters that have none are left out."""
    for line in centre_lines(text, x, 0, high):
        draw.line([(px, y + high - py) for px, py in line.coords], fill=ink, width=weight, joint="curve")


def _paper(wide: int, high: int) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    image = Image.new("RGB", (wide, high), "#efe8d6")
    draw = ImageDraw.Draw(image)
    for k in (high // 3, 2 * high // 3):
        draw.line([(0, k), (wide, k)], fill="#e2d9c3", width=2)
    return image, draw


def _scrawl(draw: ImageDraw.ImageDraw, x: float, y: float, wide: float, seed: int, ink: str = "#4b4a52") -> None:
    """A written line nobody needs to read."""
    chance = random.Random(seed)
    points, at = [], x
    while at < x + wide:
        points.append((at, y + chance.uniform(-4, 4)))
        at += chance.uniform(3, 6)
    draw.line(points, fill=ink, width=1, joint="curve")


def _papers() -> Image.Image:
    image, draw = _paper(360, 460)
    _text(draw, "VEHICLE", 30, 30, 22, "#3a3a44", 2)
    draw.line([(30, 64), (330, 64)], fill="#3a3a44", width=2)
    for k in range(6):
        _scrawl(draw, 30, 96 + 30 * k, 240 - 17 * (k % 3), 10 + k)
    draw.rectangle([26, 296, 334, 344], outline="#7a3b34", width=2)
    _text(draw, "ALL PANELS FACTORY", 40, 311, 18, "#7a3b34", 2)
    for k in range(2):
        _scrawl(draw, 30, 376 + 30 * k, 200, 40 + k)
    return image


def _invoice() -> Image.Image:
    image, draw = _paper(360, 460)
    _text(draw, "INVOICE", 30, 28, 24, "#2f4a3c", 2)
    _text(draw, "1 ROOF CAP", 44, 152, 17, "#35353f", 1)
    _text(draw, "WHITE GEL", 44, 182, 14, "#35353f", 1)
    for y in (130, 214, 300):
        draw.line([(30, y), (330, y)], fill="#2f4a3c", width=1)
    draw.line([(250, 130), (250, 300)], fill="#2f4a3c", width=1)
    for k in range(3):
        _scrawl(draw, 30, 76 + 18 * k, 120, 60 + k)
    for k in range(3):
        _scrawl(draw, 260, 160 + 40 * k, 50, 70 + k)
    draw.ellipse([220, 330, 322, 424], outline="#8a3f4a", width=3)
    _text(draw, "18 3 71", 234, 368, 15, "#8a3f4a", 2)
    _scrawl(draw, 40, 380, 130, 90, "#27306a")
    return image


STAGE_MM = 0.095  # picture points for a millimetre of the van


def _programme(side: Sheet) -> Image.Image:
    """A van without a cap, on a stage ground, in greys and grain."""
    image = Image.new("RGB", (520, 340), "#d9d6cf")
    draw = ImageDraw.Draw(image)
    draw.rectangle([0, 0, 520, 222], fill="#8b8984")
    for k in range(9):
        draw.polygon([(k * 60 - 8, 0), (k * 60 + 30, 0), (k * 60 + 22, 222), (k * 60 - 2, 222)], fill="#7d7b76")
    draw.rectangle([0, 222, 520, 278], fill="#63615d")
    for kind in ("body", "wheel", "glass", "shut_line"):
        for mark in side.outlines:
            if mark.kind == kind and mark.name != "roof cap":
                _in_grey(draw, mark)
    image = _grained(image).filter(ImageFilter.GaussianBlur(0.7))
    draw = ImageDraw.Draw(image)
    draw.rectangle([0, 278, 520, 340], fill="#efe8d6")
    _text(draw, "THE MOON CART", 30, 292, 15, "#37363a", 2)
    _text(draw, "IN ITS BLUE", 30, 316, 11, "#37363a", 1)
    return image


def _in_grey(draw: ImageDraw.ImageDraw, mark: Outline) -> None:
    shades = {"body": "#c9c8c4", "wheel": "#3c3b39" if "tyre" in mark.name else "#8f8d88", "glass": "#4a4a4a"}
    for part in shapely.get_parts(mark.shape):
        line = part.exterior if part.geom_type == "Polygon" else part
        points = [(40 + x * STAGE_MM, 250 - y * STAGE_MM) for x, y in line.coords]
        if part.geom_type == "Polygon":
            draw.polygon(points, fill=shades[mark.kind])
        else:
            draw.line(points, fill="#8c8b88", width=1)


def _grained(image: Image.Image) -> Image.Image:
    grain = random.Random(7)
    pixels = image.load()
    for _ in range(9000):
        x, y = grain.randrange(520), grain.randrange(278)
        v = pixels[x, y][0] + grain.choice((-14, 14))
        pixels[x, y] = (v, v, v)
    return image


def _ghost(ghosts: Mapping[tuple[str, str], BaseGeometry]) -> Image.Image:
    """Letters seen only by their lit and shaded edges."""
    image = Image.new("RGB", (560, 220))
    draw = ImageDraw.Draw(image)
    for x in range(560):
        draw.line([(x, 0), (x, 220)], fill=(46 + x // 22, 78 + x // 16, 122 + x // 14))
    for line in ("high1", "high2"):
        for dx, shade in ((-1.4, "#9dbbd8"), (1.6, "#1d3556"), (0, "#3f6699")):
            for part in shapely.get_parts(ghosts["L", line]):
                rings = [part.exterior, *part.interiors]
                for ring in rings:
                    points = [((x - 2340) * 0.275 + dx, 205 - (y - 1290) * 0.43 + dx * 0.6) for x, y in ring.coords]
                    draw.line(points, fill=shade, width=2 if dx else 1)
    return image.filter(ImageFilter.GaussianBlur(0.9))


def _section(layers: list[tuple[str, int]]) -> Image.Image:
    """A polished section: the layers as bands, uneven as real ones are."""
    image = Image.new("RGB", (420, 330), "#5b5d60")
    draw = ImageDraw.Draw(image)
    chance = random.Random(len(layers))
    draw.rectangle([0, 0, 420, 330], fill="#26272b")
    foot = 296 - 0.86 * sum(um for _, um in layers)
    for colour, um in reversed(layers):
        wave = [2.6 * math.sin(x / 47 + um) + 1.3 * math.sin(x / 17 + um) for x in range(421)]
        draw.polygon([*((x, foot + wave[x]) for x in range(421)), (420, 330), (0, 330)], fill=colour)
        for _ in range(um * 2):
            px, py = chance.uniform(0, 420), foot + 4 + chance.uniform(0, 0.9) * um * 0.86
            draw.point((px, py), fill="#f2f2ee" if colour in ("#c3c8ca", "#c0c6c9") else "#55524e")
        foot += um * 0.86
    draw.polygon([(0, 296), (420, 300), (420, 330), (0, 330)], fill="#8f959a")
    draw.line([(300, 318), (386, 318)], fill="#ffffff", width=3)
    draw.line([(300, 312), (300, 324)], fill="#ffffff", width=2)
    draw.line([(386, 312), (386, 324)], fill="#ffffff", width=2)
    return image


def _weld() -> Image.Image:
    image = Image.new("RGB", (360, 300), "#3a689f")
    draw = ImageDraw.Draw(image)
    draw.polygon([(0, 60), (196, 44), (204, 300), (0, 300)], fill="#35619a")
    chance = random.Random(11)
    for y in range(44, 300, 3):
        x = 200 + 3 * math.sin(y / 9) + chance.uniform(-2, 2)
        draw.ellipse([x - 5, y - 3, x + 5, y + 3], fill="#5e7f9f")
    for _ in range(60):
        x, y = chance.uniform(6, 190), 300 - abs(chance.gauss(0, 16))
        draw.ellipse([x - 3, y - 2, x + 3, y + 2], fill="#7a4a2e")
    draw.polygon([(92, 150), (150, 138), (168, 190), (112, 206)], fill="#c9a9a0")
    draw.polygon([(110, 162), (140, 156), (148, 182), (120, 188)], fill="#8f959a")
    draw.rectangle([20, 18, 120, 28], fill="#f4f1e6")
    for k in range(0, 100, 20):
        draw.rectangle([20 + k, 18, 30 + k, 28], fill="#22222a")
    return image.filter(ImageFilter.GaussianBlur(0.6))


def _cues() -> Image.Image:
    image = Image.new("RGB", (420, 240), "#7f8f6d")
    draw = ImageDraw.Draw(image)
    for k, x in enumerate((24, 44, 64, 380, 398)):
        draw.polygon([(x, 20 + k), (x + 9, 18), (x + 14, 226), (x + 4, 228)], fill="#97a585")
    _text(draw, "CUE 3 MOON UP", 100, 60, 30, "#e8e8de", 3)
    _text(draw, "CUE 4 BLUE", 112, 132, 30, "#e0e1d6", 3)
    chance = random.Random(5)
    for _ in range(1500):
        x, y = chance.randrange(420), chance.randrange(240)
        draw.point((x, y), fill=chance.choice(("#76866a", "#8a9978", "#6e7d61")))
    return image.filter(ImageFilter.GaussianBlur(0.5))
