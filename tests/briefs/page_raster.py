"""A printed page as a raster, measured with a rule: lengths and places in mm from the upper left corner of the paper."""

from __future__ import annotations

import io
import shutil
import subprocess

import numpy as np
import pytest
from PIL import Image

_INCH = 25.4


def by_poppler(pdf: bytes, page: int, dpi: int, folder) -> Page:
    """A page drawn by poppler, a renderer that the typesetter knows nothing of."""
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm (poppler) is not on the path: the page was not measured by it")
    file = folder / "page.pdf"
    file.write_bytes(pdf)
    command = [
        "pdftoppm",
        "-r",
        str(dpi),
        "-f",
        str(page),
        "-l",
        str(page),
        "-gray",
        "-singlefile",
        str(file),
        str(folder / "p"),
    ]
    subprocess.run(command, check=True, capture_output=True)
    return Page(np.asarray(Image.open(folder / "p.pgm")), dpi)


def by_typesetter(png: bytes, dpi: int) -> Page:
    """A page drawn by the typesetter itself."""
    return Page(np.asarray(Image.open(io.BytesIO(png)).convert("L")), dpi)


class Page:
    """Darkness of a page, 0 white to 1 black."""

    def __init__(self, grey: np.ndarray, dpi: int) -> None:
        self.ink = 1.0 - grey.astype(float) / 255.0
        self.dpi = dpi

    def _at(self, mm: float) -> int:
        return round(mm * self.dpi / _INCH)

    def cut(self, x0: float, x1: float, y0: float, y1: float) -> np.ndarray:
        """The ink in a window [mm]."""
        return self.ink[self._at(y0) : self._at(y1), self._at(x0) : self._at(x1)]

    def run_level(self, y: float, x0: float, x1: float) -> tuple[float, float]:
        """Where the ink on a level line begins and ends, between x0 and x1 [mm]."""
        return self._run(self.ink[int(y * self.dpi / _INCH), :], x0, x1)

    def run_upright(self, x: float, y0: float, y1: float) -> tuple[float, float]:
        """Likewise on an upright line."""
        return self._run(self.ink[:, int(x * self.dpi / _INCH)], y0, y1)

    def _run(self, line: np.ndarray, first: float, last: float) -> tuple[float, float]:
        a, b = self._at(first), self._at(last)
        dark = np.flatnonzero(line[a:b] > 0.5)
        assert len(dark), "no ink where it was looked for"
        # The longest unbroken run: beside it stand letters.
        run = max(np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1), key=len)
        return (a + run[0]) * _INCH / self.dpi, (a + run[-1] + 1) * _INCH / self.dpi

    def upright_line(self, x: float, y0: float, y1: float, reach: float = 1.0) -> float:
        """The x of the middle of an upright line near x, seen between y0 and y1 [mm]."""
        return self._middle(self.cut(x - reach, x + reach, y0, y1).mean(axis=0), self._at(x - reach))

    def level_line(self, y: float, x0: float, x1: float, reach: float = 1.0) -> float:
        """The y of the middle of a level line near y, seen between x0 and x1 [mm]."""
        return self._middle(self.cut(x0, x1, y - reach, y + reach).mean(axis=1), self._at(y - reach))

    def _middle(self, profile: np.ndarray, start: int) -> float:
        weights = np.where(profile > 0.3 * profile.max(), profile, 0.0)
        assert profile.max() > 0.15, "no line where it was looked for"
        return (start + float((weights * (np.arange(len(profile)) + 0.5)).sum() / weights.sum())) * _INCH / self.dpi
