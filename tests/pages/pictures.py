"""Small pictures of every page of the samples, and what counts as a difference between two of them.

Compared with Pillow, which the program needs for its own pictures anyway and which is quick; libraries made for the purpose
look at every pixel in Python and would take longer than all other tests of pages.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import pypdfium2
from PIL import Image, ImageChops, ImageFilter

from engrave.resources import data_folder
from tests.pages.documents import draw, make

PICTURES = Path(__file__).parent / "pictures"
SAMPLES = data_folder() / "samples"
_DOTS_PER_INCH = 50
_SHADES = 16
"""Shades of grey that a stored picture has: the nearest one is at most half a step, 9 of 255, away."""
_FAINT = 48
"""Of 255: less is the shades' doing, or that of another renderer (versions 4.30 and 5.15 of pypdfium2 differ by 15)."""
_MOST_CHANGED = 48
"""So many pixels of a page may differ: other versions round the places of single symbols to the next pixel, 14 pixels each."""
_MOST_STRAY = 4
"""So many pixels may have ink on one picture and none within a pixel on the other."""


class Difference(NamedTuple):
    """How many pixels of two pictures differ, and how many of them have no ink near them on the other picture."""

    changed: int
    stray: int

    @property
    def matters(self) -> bool:
        """True for more than another version of the renderer could do."""
        return self.changed > _MOST_CHANGED or self.stray > _MOST_STRAY


def sample_names() -> list[str]:
    """Every sample, by the path of its file without ending: `signs/bends`.

    But for the guide: it changes with every word of the program, and `tests/test_guide.py` reads it.
    """
    paths = (path for path in SAMPLES.rglob("*.yaml") if path.parent != SAMPLES / "guide")
    return sorted(str(path.relative_to(SAMPLES).with_suffix("")) for path in paths)


def picture_file(sample: str, page: int) -> Path:
    """Where the accepted picture of a page (from 1) lies."""
    return PICTURES / f"{sample.replace('/', '-')}-{page}.png"


def accepted_files(sample: str) -> list[Path]:
    """The accepted pictures of a sample, page by page."""
    files = []
    while picture_file(sample, len(files) + 1).is_file():
        files.append(picture_file(sample, len(files) + 1))
    return files


def draw_sample(sample: str) -> list[Image.Image]:
    """The pages of a sample as they are now, in as many shades as are stored."""
    return draw_pages(draw(make(SAMPLES / f"{sample}.yaml", warned=True)), _DOTS_PER_INCH)


def draw_pages(pdf: bytes, dots_per_inch: float) -> list[Image.Image]:
    """The pages of a PDF file in a few shades of grey."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        pages = [page.render(scale=dots_per_inch / 72, grayscale=True).to_pil() for page in document]
    finally:
        document.close()
    step = 255 / (_SHADES - 1)
    return [
        page.convert("L").point([round(round(value / step) * step) for value in range(256)]) for page in pages
    ]


def save_picture(picture: Image.Image, file: Path) -> None:
    """Store a picture in few shades as a small file."""
    step = 255 / (_SHADES - 1)
    shades = picture.point([round(value / step) for value in range(256)])
    indexed = Image.frombytes("P", shades.size, shades.tobytes())
    indexed.putpalette([round(shade * step) for shade in range(_SHADES) for _ in "rgb"])
    indexed.save(file, "PNG", optimize=True, bits=4)


def load_picture(file: Path) -> Image.Image:
    """A stored picture in shades of grey."""
    with Image.open(file) as picture:
        return picture.convert("L")


def compare(before: Image.Image, after: Image.Image) -> Difference:
    """How two pictures differ; pictures of different sizes differ everywhere."""
    if before.size != after.size:
        pixels = before.width * before.height
        return Difference(pixels, pixels)
    return Difference(
        _count(ImageChops.difference(before, after)),
        _count(_stray(before, after)) + _count(_stray(after, before)),
    )


def _stray(one: Image.Image, other: Image.Image) -> Image.Image:
    """Where `one` is darker than `other` anywhere within a pixel."""
    return ImageChops.subtract(other.filter(ImageFilter.MinFilter(3)), one)


def _count(differences: Image.Image) -> int:
    return sum(differences.histogram()[_FAINT + 1 :])


def accept_pages(sample: str, pages: Sequence[Image.Image]) -> list[Path]:
    """Store the pages that look different and drop the pictures of pages that are gone; what was touched."""
    touched = []
    for number, page in enumerate(pages, 1):
        file = picture_file(sample, number)
        if not file.is_file() or compare(load_picture(file), page).matters:
            save_picture(page, file)
            touched.append(file)
    for file in accepted_files(sample)[len(pages) :]:
        file.unlink()
        touched.append(file)
    return touched


def orphan_files() -> set[Path]:
    """Pictures of samples that there are no more."""
    return set(PICTURES.glob("*.png")) - {
        file for sample in sample_names() for file in accepted_files(sample)
    }
