"""A score placed in a test: its marks with their boxes."""

from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.document import place_score
from engrave.marks.bounds import measure_box
from engrave.score.structure import View
from engrave.style.load import load_style
from tests.reading.helpers import read

STYLE = load_style("")[0]
_FACES = InstalledFaces()


def place_text(text, view=View.STAFF):
    """Every (mark, box) on the pages of the score `text`, boxes in the unit of their group: staff spaces on a staff."""
    pages = place_score(read(text), STYLE, view).pages
    return [
        (mark, measure_box(mark, _FACES)) for page in pages for group in page.groups for mark in group.marks
    ]


def boxes(marks, *roles):
    """The boxes of the marks of `roles`, in order."""
    return [box for mark, box in marks if mark.role in roles]
