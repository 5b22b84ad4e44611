"""Dynamics: bold italic letters on the baseline y = 0, and their ligatures."""

from __future__ import annotations

import itertools
import math

from engrave.face.registry import DRAWINGS, symbol
from engrave.face.shapes import (
    Shape,
    at_left,
    disc,
    fillet,
    move,
    outline,
    pen_stroke,
    polygon,
    rectangle,
    straight_line,
    unite,
)
from engrave.face.splines import Knot as K

_SLANT = 0.27
"""Of all letters: dx for each dy."""


def _slanted_stem(x: float, y0: float, y1: float, w: float) -> Shape:
    """A leaning stem from y0 to y1, `w` wide, its foot at x."""
    return polygon(
        [(x + _SLANT * y0, y0), (x + w + _SLANT * y0, y0), (x + w + _SLANT * y1, y1), (x + _SLANT * y1, y1)]
    )


@symbol("dynamicPiano")
def draw_piano() -> Shape:
    """The letter p."""
    st = _slanted_stem(0.26, -0.62, 0.98, 0.27)
    entry = pen_stroke(
        [
            K(0.12, 0.62, direction=52, width=0.05),
            K(0.42, 1.03, direction=8, width=0.12),
            K(0.62, 0.86, direction=-70, width=0.14),
        ]
    )
    bowl = pen_stroke(
        [
            K(0.50, 0.50, direction=58, width=0.09),
            K(1.06, 1.04, direction=0, width=0.13),
            K(1.29, 0.62, direction=-95, width=0.34),
            K(0.74, 0.055, direction=184, width=0.11),
            K(0.47, 0.30, direction=118, width=0.12),
        ]
    )
    foot = outline(
        [
            K(-0.10, -0.68, corner=True, straight=True),
            K(0.52, -0.68, corner=True, straight=True),
            K(0.52, -0.59, corner=True, straight=True),
            K(-0.10, -0.59, corner=True, straight=True),
        ]
    )
    return at_left(fillet(unite(st, entry, bowl, foot), 0.03))


@symbol("dynamicForte")
def draw_forte() -> Shape:
    """The letter f."""
    s = pen_stroke(
        [
            K(1.53, 1.60, direction=92, width=0.12),
            K(1.26, 1.845, direction=180, width=0.10),
            K(0.86, 0.95, direction=-104.5, width=0.31),
            K(0.60, -0.05, direction=-104.5, width=0.31),
            K(0.14, -0.685, direction=180, width=0.10),
            K(-0.12, -0.44, direction=90, width=0.12),
        ]
    )
    bar_ = rectangle(0.36, 0.93, 1.36, 1.06)
    return at_left(fillet(unite(s, bar_, disc(1.415, 1.59, 0.175), disc(-0.005, -0.44, 0.175)), 0.03))


@symbol("dynamicMezzo")
def draw_mezzo() -> Shape:
    """The letter m."""
    lean = 90 - math.degrees(math.atan(_SLANT))
    g: list[Shape] = []
    w = 0.26

    def leg(x: float, h: float = 0.74, y0: float = 0) -> Shape:
        return polygon(
            [
                (x - w / 2 + _SLANT * y0, y0),
                (x + w / 2 + _SLANT * y0, y0),
                (x + w / 2 + _SLANT * h, h),
                (x - w / 2 + _SLANT * h, h),
            ],
        )

    xs = [0.20, 0.80, 1.40]
    g.append(
        pen_stroke(
            [
                K(-0.02, 0.60, direction=58, width=0.05),
                K(0.24, 1.035, direction=10, width=0.09),
                K(xs[0] + _SLANT * 0.72, 0.72, direction=lean - 180, width=w),
            ]
        )
    )
    g.append(leg(xs[0]))
    for a, b in itertools.pairwise(xs):
        g.append(
            pen_stroke(
                [
                    K(a + _SLANT * 0.40 + 0.05, 0.40, direction=lean - 8, width=0.08),
                    K(b + 0.10, 1.035, direction=4, width=0.11),
                    K(b + _SLANT * 0.70, 0.70, direction=lean - 180, width=w),
                ]
            )
        )
    g.append(leg(xs[1]))
    x = xs[2]
    g.append(
        pen_stroke(
            [
                K(x + _SLANT * 0.74, 0.74, direction=lean - 180, width=w),
                K(x + _SLANT * 0.30, 0.30, direction=lean - 180, width=w),
                K(x + 0.19, 0.05, direction=0, width=0.10),
                K(x + 0.56, 0.44, direction=62, width=0.05),
            ]
        )
    )
    return at_left(fillet(unite(*g), 0.02))


@symbol("dynamicSforzando")
def draw_sforzando() -> Shape:
    """The letter s."""
    spine = pen_stroke(
        [
            K(0.92, 0.80, 95, 0.10),
            K(0.66, 1.03, 180, 0.11),
            K(0.38, 0.76, -85, 0.24),
            K(0.66, 0.48, -40, 0.28),
            K(0.80, 0.24, -100, 0.24),
            K(0.46, 0.05, 180, 0.11),
            K(0.14, 0.30, 95, 0.10),
        ]
    )
    return at_left(fillet(unite(spine, disc(0.82, 0.80, 0.13), disc(0.24, 0.28, 0.14)), 0.02))


@symbol("dynamicRinforzando")
def draw_rinforzando() -> Shape:
    """The letter r."""
    entry = pen_stroke([K(-0.02, 0.60, 58, 0.05), K(0.24, 1.035, 10, 0.10), K(0.42, 0.80, -105, 0.26)])
    stem = _slanted_stem(0.08, 0, 0.9, 0.27)
    arm = pen_stroke([K(0.36, 0.42, 66, 0.08), K(0.80, 1.02, 10, 0.14), K(0.98, 0.86, -60, 0.12)])
    return at_left(fillet(unite(entry, stem, arm, disc(0.92, 0.86, 0.15)), 0.02))


@symbol("dynamicZ")
def draw_z() -> Shape:
    """The letter z."""
    top = outline(
        [
            K(0.16, 0.70, leave=60, corner=True),
            K(0.42, 1.0, 0),
            K(1.02, 1.03, arrive=20, corner=True, straight=True),
            K(0.98, 0.93, leave=180, corner=True),
            K(0.40, 0.82, 180),
            K(0.22, 0.68, arrive=-110, corner=True, straight=True),
        ]
    )
    bottom = outline(
        [
            K(0.0, 0.02, corner=True, leave=10),
            K(0.40, 0.14, 0),
            K(0.66, 0.0, -10),
            K(0.92, 0.30, arrive=80, corner=True, straight=True),
            K(0.84, 0.32, leave=-130, corner=True),
            K(0.64, 0.22, 180),
            K(0.30, 0.26, 180),
            K(0.0, 0.10, arrive=-120, corner=True, straight=True),
        ]
    )
    return at_left(fillet(unite(top, bottom, straight_line(0.10, 0.05, 0.94, 0.97, 0.12)), 0.02))


@symbol("dynamicNiente")
def draw_niente() -> Shape:
    """The letter n."""
    entry = pen_stroke([K(-0.02, 0.60, 58, 0.05), K(0.24, 1.035, 10, 0.10), K(0.42, 0.80, -105, 0.26)])
    first = _slanted_stem(0.08, 0, 0.9, 0.26)
    bow = pen_stroke(
        [
            K(0.34, 0.40, 66, 0.08),
            K(0.86, 1.035, 4, 0.11),
            K(1.02, 0.76, -105, 0.26),
            K(0.88, 0.30, -105, 0.26),
            K(1.04, 0.05, 0, 0.10),
            K(1.40, 0.44, 62, 0.05),
        ]
    )
    return at_left(fillet(unite(entry, first, bow), 0.02))


_WORDS = {
    "PPPP": "pppp",
    "PPP": "ppp",
    "PP": "pp",
    "MP": "mp",
    "MF": "mf",
    "PF": "pf",
    "FF": "ff",
    "FFF": "fff",
    "FFFF": "ffff",
    "FortePiano": "fp",
    "Forzando": "fz",
    "Sforzando1": "sf",
    "SforzandoPiano": "sfp",
    "Sforzato": "sfz",
    "SforzatoFF": "sffz",
    "Rinforzando1": "rf",
    "Rinforzando2": "rfz",
}
_LETTERS = {
    "p": draw_piano,
    "f": draw_forte,
    "m": draw_mezzo,
    "s": draw_sforzando,
    "r": draw_rinforzando,
    "z": draw_z,
}
_OVERLAP = {"p": -0.10, "f": -0.42, "m": -0.04, "s": 0.0, "r": -0.08, "z": 0.0}
"""From the right edge of a letter to the left edge of the next; the f reaches far over its neighbours."""


def _register_words() -> None:
    """Dynamics of several letters, set close."""
    for name, letters in _WORDS.items():

        def draw_word(letters: str = letters) -> Shape:
            pen = 0.0
            placed = []
            for letter in letters:
                shape = _LETTERS[letter]()
                placed.append(move(shape, pen, 0))
                pen += shape.bounds[2] + _OVERLAP[letter]
            return at_left(unite(*placed))

        DRAWINGS[f"dynamic{name}"] = draw_word


_register_words()
