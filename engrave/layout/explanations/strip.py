"""A few measures drawn as one strip at their natural width, without key or time: an example among words."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.lines.frames import LineFramer
from engrave.layout.lines.signs import SignPlanner
from engrave.layout.measures.measure_ink import MeasureInkBuilder
from engrave.layout.staves import plan_staves
from engrave.layout.systems.system import System, SystemBuilder
from engrave.score.structure import Barline, Score, View
from engrave.style.sections import Style


class Strip(NamedTuple):
    """A finished strip and its width in staff spaces."""

    system: System
    width: float


def place_strip(score: Score, view: View, style: Style, face: MusicFace) -> Strip:
    """All measures of `score` on one line."""
    last = len(score.measures) - 1
    measures = tuple(
        replace(
            measure,
            key_changes=False,
            metre_changes=False,
            barline=Barline.SINGLE if index < last else Barline.NONE,
        )
        for index, measure in enumerate(score.measures)
    )
    bare = replace(score, measures=measures)
    plans = plan_staves(bare, view, style.staff)
    inks = MeasureInkBuilder(bare, plans, style, face).build_all()
    framer = LineFramer(
        inks, SignPlanner(plans, style.spacing, face), face.glyph("repeatDot").box.right, style
    )
    frame = framer.frame(0, len(inks), 0.0, 0.0, 1.0)
    return Strip(SystemBuilder(bare, plans, style, face).build(frame, None, None), frame.width)
