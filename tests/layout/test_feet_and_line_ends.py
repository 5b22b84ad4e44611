"""Page numbers under the music, and what stands at a line's end (house rules, but for numbers on the outer side: common practice)."""

import pytest

from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.document import place_score
from engrave.marks.bounds import measure_box
from engrave.marks.role import Role
from engrave.products.lay_out import lay_out
from engrave.products.product import Work, open_source
from engrave.requests.pages import Looks
from engrave.style.load import load_style
from engrave.style.sections import POINTS_PER_MM
from tests.layout.placed_marks import boxes, place_text
from tests.reading.helpers import read

FACES = InstalledFaces()
FULL = "score: 1\nkey: {key}\nmeasures:\n" + "  - notes: [1/8: 6:3 5:2 4:0 3:0 2:0 1:3 2:0 3:0]\n" * 90


def ink_of(page, wanted):
    found = []
    for group in page.groups:
        for mark in group.marks:
            if (mark.role is Role.PAGE_NUMBER) is wanted and mark.role is not Role.COPYRIGHT:
                box = measure_box(mark, FACES)
                found.append((group.y + box.bottom * group.scale, group.y + box.top * group.scale))
    return found


@pytest.mark.parametrize("name", ["", "songbook", "large-print"])
def test_page_numbers_keep_five_millimetres_from_the_music(name):
    pages = place_score(read(FULL.format(key="C major")), load_style(name)[0]).pages
    assert len(pages) > 1
    for page in pages:
        ((_, number),) = ink_of(page, True)
        assert min(bottom for bottom, _ in ink_of(page, False)) - number >= 4.9 * POINTS_PER_MM


@pytest.mark.parametrize("bound", [False, True])
def test_page_numbers_stand_on_the_outer_side_of_what_is_folded(tmp_path, bound):
    path = tmp_path / "long.yaml"
    path.write_text(FULL.format(key="C major"), encoding="utf-8")
    source, _ = open_source(str(path))
    document = lay_out(source, Looks(), Work(bound=bound)).pages
    for page in document.pages:
        (number,) = [mark for group in page.groups for mark in group.marks if mark.role is Role.PAGE_NUMBER]
        assert (number.x < page.width / 2) is (bound and page.number % 2 == 0)


@pytest.mark.parametrize("change", ["key: F major", "time: 3/4", "{key: Eb minor, time: 2/4}"])
def test_the_staff_reaches_beyond_warning_signs(change):
    change = change.strip("{}")
    notes = "notes: [1/2: G4]" if "time" in change else "notes: [1/1: G4]"
    text = (
        "score: 1\ninstrument: voice\nmeasures:\n  - notes: [1/1: G4]\n"
        f"  - {{new: line, {change}, {notes}, barline: none}}\n"
    )
    text = text.replace("time: 3/4, notes: [1/2: G4]", "time: 3/4, notes: [1/2.: G4]")
    marks = place_text(text)
    end = max(box.right for box in boxes(marks, Role.STAFF_LINE))
    signs = max(box.right for box in boxes(marks, Role.KEY_SIGNATURE, Role.TIME_SIGNATURE))
    assert end - signs > 0.5


def test_short_pieces_have_looser_lines_where_pages_would_not_reach_their_feet(tmp_path):
    """House rule."""
    two = "  - notes: [1/8: 3:0 3:2 2:0 2:1 2:3 1:0 1:1 1:3]\n  - notes: [1/2: 3:0 2:0]\n"
    path = tmp_path / "short.yaml"
    path.write_text(
        "score: 1\ntime: 4/4\nhouse-style: {paper: {width: 140, height: 200}}\nmeasures:\n" + two * 8,
        encoding="utf-8",
    )
    source, _ = open_source(str(path))
    pages = lay_out(source, Looks(), Work()).pages.pages
    assert len(pages) == 2
    margin = load_style("")[0].paper.margin_bottom * POINTS_PER_MM
    assert min(bottom for bottom, _ in ink_of(pages[0], False)) == pytest.approx(margin, abs=1.0)
