"""Articulations, fermata, ornaments, breath and tremolo signs."""

from __future__ import annotations

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
    scale,
    soften,
    straight_line,
    unite,
)
from engrave.face.splines import Knot as K


@symbol("fermataAbove")
def draw_fermata_above() -> Shape:
    """Fermata above a note; sits on y = 0."""
    o = outline(
        [
            K(-1.32, 0, leave=88, arrive=180),
            K(0, 1.34, direction=0),
            K(1.32, 0, arrive=-88, corner=True, straight=True),
            K(1.25, 0, corner=True, leave=92),
            K(0, 1.0, direction=180),
            K(-1.25, 0, arrive=-92, corner=True, straight=True),
        ]
    )
    return at_left(unite(o, disc(0, 0.22, 0.215)))


@symbol("articAccentAbove")
def draw_accent_above() -> Shape:
    """Accent above; sits on y = 0."""
    return unite(polygon([(0, 0.92), (1.35, 0.50), (1.35, 0.42), (0, 0), (0, 0.10), (1.02, 0.46), (0, 0.82)]))


@symbol("articMarcatoAbove")
def draw_marcato_above() -> Shape:
    """Marcato above; sits on y = 0."""
    return polygon([(0, 0), (0.42, 1.1), (0.55, 1.1), (0.98, 0), (0.74, 0), (0.40, 0.84), (0.11, 0)])


@symbol("ornamentTrill")
def draw_trill() -> Shape:
    """Trill."""
    t = pen_stroke(
        [
            K(0.66, 2.02, direction=-98, width=0.05),
            K(0.55, 1.45, direction=-101, width=0.29),
            K(0.32, 0.45, direction=-101, width=0.31),
            K(0.54, 0.055, direction=0, width=0.12),
            K(0.94, 0.44, direction=62, width=0.05),
        ]
    )
    cross = outline(
        [
            K(0.0, 1.10, corner=True, leave=42),
            K(0.44, 1.33, direction=0, straight=True),
            K(1.50, 1.33, corner=True, straight=True),
            K(1.35, 1.21, corner=True, straight=True),
            K(0.44, 1.21, direction=180),
            K(0.07, 1.05, arrive=-136, corner=True, straight=True),
        ]
    )
    r = move(polygon([(1.08, 1.33), (1.38, 1.33), (1.10, 0), (0.80, 0)]), 0.13, 0)
    arm = pen_stroke(
        [
            K(1.19, 0.45, direction=76, width=0.12),
            K(1.74, 1.29, direction=2, width=0.13),
            K(2.01, 1.08, direction=-90, width=0.1),
        ]
    )
    return at_left(fillet(unite(t, cross, r, arm, disc(1.865, 1.09, 0.195)), 0.03))


@symbol("articStaccatoAbove")
def draw_staccato() -> Shape:
    """Staccato dot above."""
    return disc(0.19, 0.19, 0.19)


@symbol("articTenutoAbove")
def draw_tenuto() -> Shape:
    """Tenuto line above."""
    return rectangle(0, 0, 1.25, 0.16)


@symbol("articStaccatissimoAbove")
def draw_staccatissimo() -> Shape:
    """Staccatissimo wedge above."""
    return soften(polygon([(0.13, 0), (0.21, 0), (0.36, 0.92), (0.17, 1.04), (-0.02, 0.92)]), 0.02)


@symbol("articSoftAccentAbove")
def draw_soft_accent() -> Shape:
    """Soft accent above: swelling and fading."""
    return unite(
        straight_line(0, 0.45, 0.95, 0.82, 0.10),
        straight_line(0, 0.45, 0.95, 0.08, 0.10),
        straight_line(0.85, 0.82, 1.80, 0.45, 0.10),
        straight_line(0.85, 0.08, 1.80, 0.45, 0.10),
    )


_MIRRORED = (
    "articStaccato",
    "articTenuto",
    "articAccent",
    "articMarcato",
    "articStaccatissimo",
    "articSoftAccent",
    "fermata",
)


def _register_below() -> None:
    """Signs below hang from y = 0: the ones above turned over."""
    for name in _MIRRORED:

        def draw_below(above: str = f"{name}Above") -> Shape:
            return scale(DRAWINGS[above](), 1, -1)

        DRAWINGS[f"{name}Below"] = draw_below


_register_below()


@symbol("breathMarkComma")
def draw_breath() -> Shape:
    """Breath mark."""
    tail = pen_stroke([K(0.40, 0.72, -80, 0.24), K(0.44, 0.45, -95, 0.20), K(0.12, 0.0, -140, 0.03)])
    return at_left(fillet(unite(disc(0.28, 0.70, 0.25), tail), 0.03))


@symbol("caesura")
def draw_caesura() -> Shape:
    """Caesura: two slanted strokes."""
    return unite(straight_line(0, 0, 0.75, 1.9, 0.16), straight_line(0.55, 0, 1.30, 1.9, 0.16))


@symbol("ornamentTurn")
def draw_turn() -> Shape:
    """Turn."""
    spine = pen_stroke(
        [
            K(0.14, 0.30, 85, 0.12),
            K(0.52, 0.72, 0, 0.12),
            K(1.05, 0.42, -38, 0.34),
            K(1.58, 0.12, 0, 0.12),
            K(1.96, 0.54, 85, 0.12),
        ]
    )
    return at_left(fillet(unite(spine, disc(0.26, 0.36, 0.17), disc(1.84, 0.48, 0.17)), 0.03))


@symbol("ornamentTurnInverted")
def draw_inverted_turn() -> Shape:
    """Inverted turn."""
    return move(scale(draw_turn(), 1, -1), 0, 0.84)


def _zigzag(peaks: int) -> Shape:
    """Thick strokes down, thin ones up, as a pen does."""
    parts = [straight_line(0, 0.12, 0.26, 0.50, 0.09)]
    x = 0.10
    for _ in range(peaks):
        parts.append(polygon([(x, 0.62), (x + 0.16, 0.78), (x + 0.66, 0.20), (x + 0.50, 0.04)]))
        parts.append(straight_line(x + 0.54, 0.10, x + 0.80, 0.70, 0.09))
        x += 0.66
    return at_left(unite(*parts))


@symbol("ornamentShortTrill")
def draw_short_trill() -> Shape:
    """Upper mordent."""
    return _zigzag(2)


@symbol("ornamentMordent")
def draw_mordent() -> Shape:
    """Lower mordent, crossed by a stroke."""
    zigzag = _zigzag(2)
    middle = (zigzag.bounds[0] + zigzag.bounds[2]) / 2
    return unite(zigzag, rectangle(middle - 0.05, -0.30, middle + 0.05, 1.10))


def _register_tremolos() -> None:
    """One to five strokes across a stem, centred on the origin."""
    for count in range(1, 6):

        def draw_tremolo(count: int = count) -> Shape:
            strokes = [
                polygon([(-0.6, y - 0.36), (0.6, y - 0.04), (0.6, y + 0.36), (-0.6, y + 0.04)])
                for y in _heights(count)
            ]
            return unite(*strokes)

        DRAWINGS[f"tremolo{count}"] = draw_tremolo


def _heights(count: int) -> list[float]:
    return [0.75 * (number - (count - 1) / 2) for number in range(count)]


_register_tremolos()
