"""A handout as it is written is what stands on its pages, in order, with its numbers, links and boxes."""

import io
import itertools
import struct
import zlib

import pdfplumber
import pikepdf
import pytest

from engrave.drawing.pdf.draw import draw_pdf
from engrave.drawing.svg import draw_svg
from engrave.fonts.text_setting import InstalledFaces
from engrave.marks.bounds import measure_page_marks
from engrave.marks.mark import Anchor, Link
from engrave.marks.role import Role
from engrave.resources import data_folder
from engrave.style.load import load_style
from tests import made

MUSIC = "{measures: [{notes: [1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]}]}"


def write(tmp_path, content, head=""):
    path = tmp_path / "lesson.yaml"
    path.write_text(f"handout: 1\n{head}content:\n{content}", "utf-8")
    return str(path)


def place(tmp_path, content, head=""):
    document, outcome = made.place(write(tmp_path, content, head))
    assert document is not None, [str(p) for p in outcome.problems]
    return document


def problems(tmp_path, content):
    return [str(p).replace(str(tmp_path) + "/", "") for p in made.check(write(tmp_path, content)).problems]


def texts(document, role):
    return [
        mark.text
        for page in document.pages
        for group in page.groups
        for mark in group.marks
        if mark.role is role and hasattr(mark, "text")
    ]


def png(width, height):
    rows = b"".join(b"\0" + b"\x80" * width for _ in range(height))

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0))
        + chunk(b"IDAT", zlib.compress(rows))
        + chunk(b"IEND", b"")
    )


def test_the_head_has_title_lesson_level_date_and_a_line_for_the_name(tmp_path):
    document = place(
        tmp_path,
        "  - text: Play.\n",
        "title: Slides\nlesson: 3\nlevel: Beginners\ndate: May\nstudent: true\n",
    )
    assert texts(document, Role.TITLE) == ["Slides"]
    assert texts(document, Role.SUBTITLE) == ["Lesson 3  ·  Beginners  ·  May"]
    assert "Name" in texts(document, Role.CREDIT)
    assert any(mark.role is Role.FORM_LINE for group in document.pages[0].groups for mark in group.marks)


@pytest.mark.parametrize(
    ("lesson", "language", "printed"),
    [
        ("9", "en", "Lesson 9"),
        ("Lesson 9", "en", "Lesson 9"),
        ("lesson nine", "en", "lesson nine"),
        ("Stunde 9", "de", "Stunde 9"),
        ("9", "de", "Stunde 9"),
    ],
)
def test_the_word_lesson_is_not_doubled(tmp_path, lesson, language, printed):
    document = place(tmp_path, "  - text: Play.\n", f"lesson: {lesson}\nlanguage: {language}\n")
    assert texts(document, Role.SUBTITLE) == [printed]


def test_systems_of_an_example_stay_near_each_other_where_a_page_cannot_be_filled(tmp_path):
    """A page that ends after four systems keeps its white at the foot."""
    rows = ", ".join(
        ["{notes: [1/8: [{3: 0}, {3: 2}, {2: 0}, {2: 1}, {1: 0}, {1: 1}, {1: 3}, {1: 5}]]}"] * 16
    )
    words = f"  - text: {'All is said of it. ' * 30}\n"
    document = place(tmp_path, f"{words}  - music: {{measures: [{rows}]}}\n  - page: new\n" * 2)
    style = load_style("")[0]
    most = style.breaking.system_gap * style.staff_space * 1.5
    assert len(document.pages) == 2
    for page in document.pages:
        lines = sorted(
            {
                round(g.y + m.y1 * g.scale, 2)
                for g in page.groups
                for m in g.marks
                if m.role in (Role.STAFF_LINE, Role.TAB_LINE)
            }
        )
        gaps = [upper - lower for lower, upper in itertools.pairwise(lines)]
        assert (
            max(gaps) < most + 8 * style.staff_space
        )  # ink above the staff: at most ledger lines and measure numbers


def test_words_read_back_from_the_pdf_in_their_order(tmp_path):
    document = place(
        tmp_path,
        "  - text: |\n      # One\n      Two *three* **four**.\n\n      - five\n      - six\n  - tip: Seven.\n",
    )
    page = pdfplumber.open(io.BytesIO(draw_pdf(document))).pages[0]
    assert page.extract_text().split() == [
        "One",
        "Two",
        "three",
        "four.",
        "•",
        "five",
        "•",
        "six",
        "Tip",
        "Seven.",
    ]


def test_music_is_numbered_and_the_text_refers_to_it_by_link(tmp_path):
    content = f"  - text: See [](#b) and [this](#a).\n  - music: {MUSIC}\n    name: a\n    caption: First\n  - music: {MUSIC}\n    name: b\n"
    document = place(tmp_path, content)
    assert "".join(texts(document, Role.BODY)) == "See Example\u00a02 and this."
    assert " ".join(" ".join(texts(document, Role.CAPTION)).split()) == "Example 1: First Example 2"
    with pikepdf.open(io.BytesIO(draw_pdf(document))) as pdf:
        assert len(pdf.pages[0].Annots) == 2
    links = [
        mark.target for group in document.pages[0].groups for mark in group.marks if isinstance(mark, Link)
    ]
    anchors = [
        mark.name for group in document.pages[0].groups for mark in group.marks if isinstance(mark, Anchor)
    ]
    assert links == ["b", "a"]
    assert anchors == ["a", "b"]


@pytest.mark.parametrize(
    ("measures", "frets"),
    [("2", ["2"]), ("2-3", ["2", "3"]), ("B", ["3", "4"]), ("1-4", ["1", "2", "3", "4"])],
)
def test_a_range_or_a_label_of_a_file_is_shown(tmp_path, measures, frets):
    rows = "".join(
        f"  - {'label: B, ' if n == 3 else ''}notes: [1/1: {{1: {n}}}]\n".replace(
            "- label: B, notes", "- label: B\n    notes"
        )
        for n in range(1, 5)
    )
    (tmp_path / "tune.yaml").write_text(f"score: 1\nmeasures:\n{rows}", "utf-8")
    document = place(tmp_path, f"  - music: tune.yaml\n    measures: '{measures}'\n    view: tab\n")
    assert texts(document, Role.FRET) == frets


def test_examples_stand_side_by_side(tmp_path):
    document = place(
        tmp_path,
        f"  - beside:\n      - {{music: {MUSIC}, caption: A}}\n      - {{music: {MUSIC}, caption: B}}\n",
    )
    captions = [
        (group.x, group.y)
        for group in document.pages[0].groups
        for mark in group.marks
        if mark.role is Role.CAPTION
    ]
    assert len({round(y, 3) for _, y in captions}) == 1
    assert len({round(x, 3) for x, _ in captions}) == 2


def test_each_of_several_examples_side_by_side_can_be_linked_to(tmp_path):
    named = [f"      - {{music: {MUSIC}, name: {name}}}\n" for name in ("one", "two")]
    document = place(tmp_path, f"  - text: '[](#one) [](#two)'\n  - beside:\n{''.join(named)}")
    targets = {
        mark.name: group.x
        for group in document.pages[0].groups
        for mark in group.marks
        if isinstance(mark, Anchor)
    }
    assert list(targets) == ["one", "two"]
    assert targets["two"] > targets["one"] + 100
    with pikepdf.open(io.BytesIO(draw_pdf(document))) as pdf:
        assert len(pdf.pages[0].Annots) == 2


def test_a_picture_keeps_its_proportions_and_its_words(tmp_path):
    (tmp_path / "hand.png").write_bytes(png(40, 20))
    document = place(
        tmp_path, "  - picture: hand.png\n    alt: The left hand\n    width: 50\n    caption: Hold it so\n"
    )
    (picture,) = [
        mark for group in document.pages[0].groups for mark in group.marks if mark.role is Role.PICTURE
    ]
    width, height = picture.box.right - picture.box.left, picture.box.top - picture.box.bottom
    assert (width, height) == pytest.approx((50 * 72 / 25.4, 25 * 72 / 25.4))
    assert "<title>The left hand</title>" in draw_svg(document.pages[0], document)
    assert len(pdfplumber.open(io.BytesIO(draw_pdf(document))).pages[0].images) == 1


def test_blank_systems_shapes_and_signs_explained(tmp_path):
    music = "{measures: [{notes: [1/2: [{3: 0}, {3: 2 hammer-on}]]}]}"
    document = place(
        tmp_path,
        f"  - music: {music}\n  - shapes: {{G: 3 2 0 0 0 3}}\n  - blank: {{kind: tab, systems: 2, measures: 4}}\n  - explain-signs: used\n",
    )
    assert texts(document, Role.CHORD_NAME) == ["G"]
    assert texts(document, Role.EXPLANATION_NAME) == ["Hammer-on"]


def test_headings_stay_with_what_follows_and_paragraphs_are_not_torn_at_one_line(tmp_path):
    paragraph = "word " * 120
    content = "".join(f"  - text: |\n      ## Heading {n}\n\n      {paragraph}\n" for n in range(12))
    document = place(tmp_path, content)
    assert len(document.pages) > 1
    for page in document.pages:
        rows = {}
        for group in page.groups:
            for mark in group.marks:
                if mark.role in (Role.HEADING, Role.BODY):
                    rows.setdefault(round(group.y + mark.y, 1), mark.role)
        order = [rows[y] for y in sorted(rows, reverse=True)]
        assert order[-1] is Role.BODY
        assert order[-2] is Role.BODY
        assert order[0] is Role.HEADING or order[1] is Role.BODY


def test_nothing_leaves_the_page(tmp_path):
    document, _ = made.place(str(data_folder() / "samples" / "handouts" / "first-slides.yaml"))
    assert len(document.pages) == 2
    for page in document.pages:
        for _, mark, box in measure_page_marks(page, InstalledFaces()):
            assert min(box.left, box.bottom) >= 0, mark
            assert box.right <= page.width, mark
            assert box.top <= page.height, mark


@pytest.mark.parametrize(
    ("content", "message"),
    [
        ("  - text: a\n    tip: b\n", "lesson.yaml:3:5: an item cannot be text and tip at once"),
        ("  - measures: 1-4\n", "this item has only measures"),
        ("  - text: a\n    measures: 1-4\n", '"measures" does not belong to text'),
        ("  - text: See [](#x).\n", 'no example is called "x"'),
        ("  - music: gone.yaml\n", 'there is no file "gone.yaml"'),
        (f"  - music: {MUSIC}\n    measures: 5\n", "there is no measure 5; the piece has 1 to 1"),
        (f"  - music: {MUSIC}\n    measures: Coda\n", 'there is no label "Coda"; the piece has none'),
        ("  - picture: gone.png\n    alt: x\n", 'there is no picture "gone.png"'),
        ("  - picture: lesson.yaml\n    alt: x\n", '"lesson.yaml" is not a PNG or JPEG picture'),
        ("  - picture: lesson.yaml\n", "this picture has no description"),
        ("  - music: {measures: [{notes: [1/1: {3: 30}]}]}\n", "fret 30 does not exist"),
        ("  - text: |\n      fine\n\n      <b>no</b>\n", "lesson.yaml:6"),
        ("  - txt: a\n", '"txt"'),
    ],
)
def test_what_is_wrong_is_told_with_its_place(tmp_path, content, message):
    found = problems(tmp_path, content)
    assert any(message in problem for problem in found), found


def test_mistakes_of_a_file_are_told_with_that_files_name(tmp_path):
    (tmp_path / "bad.yaml").write_text("score: 1\nmeasures: [{notes: [1/2: {1: 0}]}]\n", "utf-8")
    (found,) = problems(tmp_path, "  - music: bad.yaml\n")
    assert found.startswith("bad.yaml:2:")


def test_an_example_is_shown_as_a_lead_sheet_with_the_tune_of_the_whole_piece(tmp_path):
    """In the measures shown the singer rests; the guitar's notes are not the tune."""
    sung = "{v: {notes: [1/1: C5], chord: C, lyrics: la}, g: {notes: [1/1: {5: 3}]}}"
    rests = "{g: {notes: [1/8: [{5: 3}, {4: 2}, {3: 0}, {2: 1}, {5: 3}, {4: 2}, {3: 0}, {2: 1}]]}}"
    music = f"{{parts: [{{id: g}}, {{id: v, instrument: voice}}], measures: [{{parts: {sung}}}, {{parts: {rests}}}]}}"
    document = place(tmp_path, f"  - music: {music}\n    measures: 2\n    view: lead-sheet\n")
    roles = [mark.role for page in document.pages for group in page.groups for mark in group.marks]
    assert roles.count(Role.STAFF_LINE) == 5
    assert Role.NOTEHEAD not in roles
    assert Role.TAB_LINE not in roles


def test_an_example_without_a_tune_is_no_lead_sheet(tmp_path):
    (found,) = problems(tmp_path, "  - music: {measures: [{notes: [1/1: slash]}]}\n    view: lead-sheet\n")
    assert found.startswith("lesson.yaml:4:11: a lead sheet needs a tune")


@pytest.mark.parametrize(
    ("blank", "lines"),
    [
        ("{instrument: ukulele}", 4),
        ("{instrument: banjo, kind: staff+tab}", 5),
        ("{tuning: D2 A2 D3 G3 B3 E4}", 6),
        ("{instrument: voice}", 0),
        ("{strings: 7}", 7),
    ],
)
def test_blank_tab_is_ruled_for_an_instrument(tmp_path, blank, lines):
    document = place(tmp_path, f"  - blank: {blank}\n")
    roles = [mark.role for group in document.pages[0].groups for mark in group.marks]
    assert roles.count(Role.TAB_LINE) == lines
    assert roles.count(Role.STAFF_LINE) == (5 if "staff" in blank or "voice" in blank else 0)


def test_shapes_are_drawn_for_an_instrument(tmp_path):
    document = place(tmp_path, "  - shapes: {C: 0 0 0 3}\n    instrument: ukulele\n")
    upright = [
        mark
        for group in document.pages[0].groups
        for mark in group.marks
        if mark.role is Role.GRID_LINE and mark.x1 == mark.x2
    ]
    assert len(upright) == 4


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (
            "  - blank: {instrument: ukulele, strings: 6}\n",
            "lesson.yaml:3:43: the ukulele has 4 strings, and 6 are asked for",
        ),
        ("  - blank: {instrument: voice, kind: tab}\n", "a tab needs strings, and the voice has none"),
        ("  - shapes: {C: x 3 2 0 1 0}\n    instrument: ukulele\n", "the shape of C: "),
        ("  - text: a\n    instrument: ukulele\n", '"instrument" does not belong to text'),
    ],
)
def test_instruments_that_contradict_are_told(tmp_path, content, message):
    found = problems(tmp_path, content)
    assert any(message in problem for problem in found), found
