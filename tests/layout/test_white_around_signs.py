"""White around signs of technique, fingers and words, in staff spaces. What is asked for is common practice, no source."""

import pytest

from engrave.layout.document import place_score
from engrave.marks.role import Role
from engrave.style.load import load_style
from tests.reading.helpers import read

STYLE = load_style("")[0]


def groups(text, view=None, style=STYLE):
    """The marks of the page, group by group: those of one staff share their coordinates."""
    return [group.marks for page in place_score(read(text), style, view).pages for group in page.groups]


def score(notes, extra=""):
    return f"score: 1\nmeasures:\n  - notes: {notes}\n{extra}"


def points(curve):
    """A hundred places along the outer curve of a bow (Bernstein's form of a cubic)."""
    for t in (n / 100 for n in range(101)):
        shares = ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t * t, t**3)
        yield tuple(sum(s * p[axis] for s, p in zip(shares, curve.outer, strict=True)) for axis in (0, 1))


@pytest.mark.parametrize("frets", [(5, 8), (8, 5), (12, 19)])
def test_a_chord_name_keeps_half_a_space_from_a_slur(frets):
    text = score(f"[1/4: [{{2: {frets[0]}}}, {{2: {frets[1]} legato-slide}}, {{2: 5}}, {{2: 5}}]]", "    chord: Em\n")
    (staff,) = (marks for marks in groups(text) if any(mark.role is Role.CHORD_NAME for mark in marks))
    first, last = [mark for mark in staff if mark.role is Role.CHORD_NAME]
    slur = next(mark for mark in staff if mark.role is Role.SLUR)
    under = [y for x, y in points(slur) if first.x - 0.25 < x < last.x + last.size]
    assert under
    assert first.y - max(under) >= 0.5 - 0.01  # the outline is taken in short straight pieces
