"""What belongs together in a handout stays near each other when pages are filled, and what is asked for is printed (common practice, no source)."""

import io

import pytest
from PIL import Image

from engrave.fonts.text_face import text_face
from engrave.marks.mark import Glyph, Link, Picture, Text
from engrave.marks.role import Role
from engrave.requests.pages import Prepress
from tests.made import make, place

TUNE = "{measures: [{notes: [1/4: 3:0 3:2 2:0 2:1]}]}"


def placed(tmp_path, content, head="title: Lesson\n"):
    path = tmp_path / "a.yaml"
    path.write_text(f"handout: 1\n{head}content:\n{content}", "utf-8")
    document, outcome = place(path)
    assert document is not None, [str(problem) for problem in outcome.problems]
    return document


def lines(document, role, page=0):
    """(y, text) of each text of a role from the top down, in points."""
    found = [
        (group.y + mark.y * group.scale, mark.text)
        for group in document.pages[page].groups
        for mark in group.marks
        if isinstance(mark, Text) and mark.role is role
    ]
    return sorted(found, reverse=True)


SECTION = f"  - text: |\n      # Slides\n\n      Play slowly.\n\n      - one\n      - two\n  - music: {TUNE}\n    caption: Up\n"


@pytest.mark.parametrize("count", [1, 3, 5, 6])
def test_only_the_white_between_groups_grows(tmp_path, count):
    """Heading to text, list items and example to its words keep their distance on every page."""
    (usual,) = distances(placed(tmp_path, SECTION))
    for found in distances(placed(tmp_path, SECTION * count)):
        assert all(now <= at_rest + 0.01 for now, at_rest in zip(found, usual, strict=False))


def distances(document):
    """From each heading to the three lines under it that stand on its page."""
    for number in range(len(document.pages)):
        body = [y for y, _ in lines(document, Role.BODY, number)]
        for heading, _ in lines(document, Role.HEADING, number):
            yield [heading - y for y in body if y < heading][:3]


def test_a_caption_stands_under_the_middle_of_its_picture(tmp_path):
    Image.new("L", (40, 20), 128).save(tmp_path / "a.png")
    document = placed(tmp_path, "  - picture: a.png\n    alt: grey\n    width: 60\n    caption: The hand\n")
    marks = [(group, mark) for group in document.pages[0].groups for mark in group.marks]
    group, picture = next((g, m) for g, m in marks if isinstance(m, Picture))
    under, caption = next((g, m) for g, m in marks if m.role is Role.CAPTION)
    middle = under.x + caption.x + text_face(caption.face).width(caption.text, caption.size) / 2
    assert middle == pytest.approx(group.x + (picture.box.left + picture.box.right) / 2, abs=0.01)


def test_an_example_prints_its_grids_at_the_top(tmp_path):
    music = "{grids: top, shapes: {G: 3 2 0 0 0 3, D: x x 0 2 3 2}, measures: [{chord: G, notes: [1/1: 3:0]}, {chord: D, notes: [1/1: 3:0]}]}"
    whole = placed(tmp_path, f"  - music: {music}\n")
    part = placed(tmp_path, f"  - music: {music}\n    measures: 2\n")
    nuts = [
        sum(mark.role is Role.GRID_NUT for group in document.pages[0].groups for mark in group.marks)
        for document in (whole, part)
    ]
    assert nuts == [2, 1]


def test_rows_of_empty_grids_fill_a_page_before_they_go_on_to_the_next(tmp_path):
    words = "".join(f"\n\n      Paragraph {number}." for number in range(18))
    document = placed(
        tmp_path, f"  - text: |\n      # Shapes{words}\n  - blank: {{kind: chord-grids, systems: 5}}\n"
    )
    nuts = [
        sum(mark.role is Role.GRID_NUT for g in page.groups for mark in g.marks) for page in document.pages
    ]
    assert len(nuts) == 2
    assert all(nuts)


def test_both_of_two_named_examples_beside_each_other_are_linked(tmp_path):
    beside = f"  - text: 'See [](#b) and [](#a)'\n  - beside:\n    - {{music: {TUNE}, name: a}}\n    - {{music: {TUNE}, name: b, caption: Up}}\n"
    document = placed(tmp_path, beside)
    links = [
        mark.target for group in document.pages[0].groups for mark in group.marks if isinstance(mark, Link)
    ]
    assert links == ["b", "a"]
    assert not make(tmp_path / "a.yaml", output=str(tmp_path / "a.pdf")).failed


def test_a_picture_for_a_press_is_refused_in_an_archive(tmp_path):
    """ISO 19005-2, 6.2.4.3."""
    Image.new("CMYK", (40, 20), (0, 128, 0, 0)).save(tmp_path / "a.jpg")
    placed(tmp_path, "  - picture: a.jpg\n    alt: pink\n")
    path, out = tmp_path / "a.yaml", str(tmp_path / "a.pdf")
    assert not make(path, output=out).failed
    for prepress in (Prepress(archive=True), Prepress(archive=True, two_up=True)):
        (problem,) = make(path, output=out, prepress=prepress).problems
        assert "save the picture as RGB" in str(problem)
    buffer = io.BytesIO()
    Image.new("RGB", (40, 20), (200, 90, 90)).save(buffer, "JPEG")
    (tmp_path / "a.jpg").write_bytes(buffer.getvalue())
    assert not make(path, output=out, prepress=Prepress(archive=True)).failed


def paper(tmp_path, text):
    path = tmp_path / "p.yaml"
    path.write_text(f"paper: 1\n{text}", "utf-8")
    document, outcome = place(path)
    assert document is not None, [str(problem) for problem in outcome.problems]
    return document


def test_the_holes_of_the_back_are_those_of_the_front(tmp_path):
    """A hole goes through the leaf (fact)."""
    front, back, *_ = paper(tmp_path, "kinds: [tab]\nholes: two\npages: 3\n").pages
    scale = front.groups[0].scale
    xs = [
        {round((mark.x1 + mark.x2) / 2 * scale, 2) for mark in page.groups[0].marks if mark.role is Role.HOLE}
        for page in (front, back)
    ]
    (one,), (other,) = xs
    assert one + other == pytest.approx(front.width, abs=0.02)
    lines_of_back = [mark.x2 for mark in back.groups[0].marks if mark.role is Role.TAB_LINE]
    assert max(lines_of_back) * scale <= other - 20


def test_grey_paper_has_grey_clefs(tmp_path):
    (page,) = paper(tmp_path, "kinds: [staff+tab]\nink: grey\n").pages
    glyphs = [mark for mark in page.groups[0].marks if isinstance(mark, Glyph)]
    assert glyphs
    assert all(mark.grey > 0 for mark in glyphs)


def test_mixed_rows_count_the_systems_of_all_kinds(tmp_path):
    document = paper(tmp_path, "kinds: [staff, tab]\nsystems: 5\n")
    clefs = [mark for mark in document.pages[0].groups[0].marks if isinstance(mark, Glyph)]
    assert len(clefs) == 5
