"""Signs of fretted instruments and plucking hands."""

from __future__ import annotations

import engrave.face.time_signatures  # noqa: F401  # its digits stand in the rings
from engrave.face.registry import DRAWINGS, symbol
from engrave.face.shapes import (
    Shape,
    at_left,
    centred,
    disc,
    move,
    pen_stroke,
    polygon,
    rectangle,
    scale,
    straight_line,
    unite,
    without,
)
from engrave.face.splines import Knot as K


@symbol("stringsDownBow")
def draw_down_stroke() -> Shape:
    """Down stroke of the pick."""
    return unite(rectangle(0, 0, 0.12, 1.25), rectangle(1.13, 0, 1.25, 1.25), rectangle(0, 0.80, 1.25, 1.25))


@symbol("stringsUpBow")
def draw_up_stroke() -> Shape:
    """Up stroke of the pick."""
    return polygon([(0, 1.95), (0.20, 1.95), (0.585, 0.50), (0.92, 1.95), (1.03, 1.95), (0.56, 0), (0.50, 0)])


def _wave(length: float, height: float, thick: float, thin: float) -> Shape:
    """One period of a wavy line from x = 0 to `length`; pieces join end to end."""
    edge = height / 2
    knots = [
        K(0, 0, 62, thin),
        K(length / 4, edge, 0, thick),
        K(length / 2, 0, -62, thin),
        K(3 * length / 4, -edge, 0, thick),
        K(length, 0, 62, thin),
    ]
    return pen_stroke(knots)


@symbol("guitarVibratoStroke")
def draw_vibrato() -> Shape:
    """One wave of narrow vibrato."""
    return move(_wave(0.86, 0.42, 0.20, 0.13), 0, 0.30)


@symbol("guitarWideVibratoStroke")
def draw_wide_vibrato() -> Shape:
    """One wave of wide vibrato."""
    return move(_wave(1.05, 0.78, 0.26, 0.16), 0, 0.50)


@symbol("wiggleArpeggiatoUp")
def draw_arpeggio() -> Shape:
    """One wave of an arpeggio line, to be turned upright."""
    return _wave(1.0, 0.36, 0.22, 0.13)


@symbol("guitarVibratoBarScoop")
def draw_scoop() -> Shape:
    """Scoop with the vibrato bar."""
    return pen_stroke([K(0.05, 0.0, 90, 0.13), K(0.60, -0.62, 0, 0.13), K(1.30, 0.35, 62, 0.10)])


@symbol("guitarVibratoBarDip")
def draw_dip() -> Shape:
    """Dip with the vibrato bar."""
    return unite(straight_line(0, 0.9, 0.5, 0, 0.13), straight_line(0.5, 0, 1.0, 0.9, 0.13))


@symbol("guitarGolpe")
def draw_golpe() -> Shape:
    """A tap on the body: a square."""
    return without(rectangle(0, 0, 1.1, 1.1), rectangle(0.14, 0.14, 0.96, 0.96))


@symbol("guitarStrumUp")
def draw_strum_up() -> Shape:
    """An arrow up the page."""
    return unite(rectangle(0.40, 0, 0.56, 3.2), polygon([(0, 2.9), (0.48, 4.0), (0.96, 2.9), (0.48, 3.12)]))


@symbol("guitarStrumDown")
def draw_strum_down() -> Shape:
    """An arrow down the page."""
    return move(scale(draw_strum_up(), 1, -1), 0, 4.0)


@symbol("guitarFadeIn")
def draw_fade_in() -> Shape:
    """Fade in: a wedge that opens."""
    return unite(straight_line(0, 0.6, 2.0, 1.2, 0.13), straight_line(0, 0.6, 2.0, 0.0, 0.13))


@symbol("guitarFadeOut")
def draw_fade_out() -> Shape:
    """Fade out: a wedge that closes."""
    return move(scale(draw_fade_in(), -1, 1), 2.0, 0)


@symbol("guitarVolumeSwell")
def draw_swell() -> Shape:
    """Swell: open and close."""
    return unite(scale(draw_fade_in(), 0.7, 1), move(scale(draw_fade_in(), -0.7, 1), 2.7, 0))


def _ring(outer: float, line: float) -> Shape:
    return without(disc(0, 0, outer), disc(0, 0, outer - line))


@symbol("guitarLeftHandTapping")
def draw_left_tap() -> Shape:
    """Tap with the left hand: T in a ring."""
    return at_left(
        move(
            unite(_ring(0.95, 0.12), rectangle(-0.45, 0.34, 0.45, 0.50), rectangle(-0.08, -0.55, 0.08, 0.50)),
            0,
            0.95,
        )
    )


@symbol("guitarRightHandTapping")
def draw_right_tap() -> Shape:
    """Tap with the right hand: T in a square."""
    square = without(rectangle(-0.9, -0.9, 0.9, 0.9), rectangle(-0.78, -0.78, 0.78, 0.78))
    return at_left(
        move(unite(square, rectangle(-0.45, 0.34, 0.45, 0.50), rectangle(-0.08, -0.55, 0.08, 0.50)), 0, 0.9)
    )


@symbol("stringsHarmonic")
def draw_harmonic() -> Shape:
    """Natural harmonic: a small ring above the note."""
    return at_left(move(_ring(0.42, 0.12), 0, 0.42))


@symbol("stringsHalfHarmonic")
def draw_half_harmonic() -> Shape:
    """Half harmonic: a ring, half filled."""
    return at_left(
        move(unite(_ring(0.42, 0.12), disc(0, 0, 0.36).intersection(rectangle(-1, -1, 0, 1))), 0, 0.42)
    )


@symbol("stringsThumbPosition")
def draw_thumb_position() -> Shape:
    """Thumb position: a ring with a foot."""
    return at_left(move(unite(_ring(0.45, 0.12), rectangle(-0.07, -0.95, 0.07, -0.38)), 0, 0.95))


@symbol("pluckedSnapPizzicatoAbove")
def draw_snap() -> Shape:
    """Snap the string against the fretboard: a ring with a stroke upwards."""
    return at_left(move(unite(_ring(0.55, 0.13), rectangle(-0.065, 0.0, 0.065, 1.1)), 0, 0.55))


@symbol("pluckedWithFingernails")
def draw_fingernails() -> Shape:
    """Pluck with the nails: an open crescent."""
    return at_left(without(disc(0, 0.5, 0.62), disc(0, 0.78, 0.60)))


@symbol("pluckedLeftHandPizzicato")
def draw_plus() -> Shape:
    """Left-hand plucking, tapping or stopped: a plus."""
    return unite(rectangle(0, 0.47, 1.1, 0.63), rectangle(0.47, 0, 0.63, 1.1))


@symbol("brassMuteClosed")
def draw_closed() -> Shape:
    """Muted string: a plus."""
    return draw_plus()


@symbol("brassMuteHalfClosed")
def draw_half_closed() -> Shape:
    """Half-muted string: a crossed ring."""
    return at_left(move(unite(_ring(0.5, 0.12), straight_line(-0.62, -0.62, 0.62, 0.62, 0.12)), 0, 0.62))


@symbol("fretboardFilledCircle")
def draw_grid_dot() -> Shape:
    """The dot of a stopped string in a chord grid, centred on the origin."""
    return disc(0, 0, 0.40)


@symbol("fretboardX")
def draw_grid_x() -> Shape:
    """A string that is not played, over a chord grid."""
    return unite(straight_line(-0.32, 0.06, 0.32, 0.70, 0.13), straight_line(-0.32, 0.70, 0.32, 0.06, 0.13))


@symbol("fretboardO")
def draw_grid_o() -> Shape:
    """An open string, over a chord grid."""
    return move(_ring(0.35, 0.12), 0, 0.38)


def _register_string_numbers() -> None:
    """String numbers 0 to 9 in rings, 2 spaces across, from the time digits."""
    for number in range(10):

        def draw_number(number: int = number) -> Shape:
            digit = centred(scale(DRAWINGS[f"timeSig{number}"](), 0.52, 0.56))
            return at_left(move(unite(_ring(1.0, 0.12), digit), 0, 1.0))

        DRAWINGS[f"guitarString{number}"] = draw_number


_register_string_numbers()
