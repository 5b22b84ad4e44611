"""What stands beside music that can be heard: a code that leads to the recording, and the number of its track."""

from __future__ import annotations

from typing import NamedTuple

from engrave.documents.handout import Recording
from engrave.fonts.text_face import text_face
from engrave.layout.scan_code import QUIET, find_code, place_code
from engrave.layout.text.boxes import FlowBox, join_beside
from engrave.marks.mark import Box, Group, Link, Mark, Text
from engrave.marks.role import Role
from engrave.problems import ProblemLog
from engrave.style.sections import POINTS_PER_MM, Style


class Aside(NamedTuple):
    """A box at the right end of the column: its width, and the white that must stay left of it, in points."""

    box: FlowBox
    width: float
    quiet: float


def track_name(recording: Recording, style: Style) -> str:
    """What a recording is called: "Track 3"."""
    return f"{style.wordbook.page.track} {recording.track}"


def place_recording(recording: Recording, style: Style) -> Aside:
    """The code of `recording`, if it has an address, and under it the number of its track."""
    kind, method = style.prose.caption, style.method
    label = track_name(recording, style)
    words = text_face(kind.face).width(label, kind.size)
    code = find_code(recording.address) if recording.address else ()
    side = method.code_size * POINTS_PER_MM if code else 0.0
    quiet = max(method.code_gap, QUIET * side / len(code) if code else 0.0)
    width = max(side, words)
    drop = side + kind.size * ((1.0 + method.code_label_gap) if code else 1.0)
    marks: list[Mark] = [Text(Role.CAPTION, (width - words) / 2, -drop, label, kind.face, kind.size)]
    if code:
        left = (width - side) / 2
        marks.extend(place_code(code, left, 0.0, side))
        marks.append(Link(Role.LINK, Box(left, -side, left + side, 0.0), recording.address))
    height = drop - text_face(kind.face).ink("p", kind.size).bottom
    return Aside(FlowBox(height, (Group(0.0, 0.0, 1.0, tuple(marks)),)), width, quiet)


def put_beside(box: FlowBox, aside: Aside, width: float) -> FlowBox:
    """`box` with what stands at the right end of its column of `width` points."""
    joined = join_beside([(box, 0.0), (aside.box, width - aside.width)])
    return box._replace(height=joined.height, groups=joined.groups)


def check_code(recording: Recording, style: Style, log: ProblemLog) -> None:
    """Report an address that is too long for a code of the size that the style has."""
    if not recording.address:
        return
    try:
        squares = len(find_code(recording.address))
    except ValueError:
        squares = 0
    size, least = style.method.code_size, style.method.code_module
    if squares and size / squares >= least:
        return
    what = f"this address has {len(recording.address)} letters, too many for a code {size:g} mm wide"
    log.error(
        recording.location,
        what,
        hint="shorten it, or make codes larger: house-style: {method: {code_size: 25}}",
    )
