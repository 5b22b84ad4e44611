"""Letters that an italic lacks are lent to it: the next drawing of the same face, or the upright one, slanted (house rule)."""

import io

import pdfplumber
import pytest

from engrave.drawing.pdf.draw import draw_pdf
from engrave.drawing.svg import draw_svg
from engrave.fonts.face_files import ALL_FACES, FACE_NAMES, LENT_FROM, SLANT
from engrave.fonts.text_face import split_by_face, text_face
from engrave.marks.mark import Group, Page, PlacedDocument, Text
from engrave.marks.role import Role
from tests.made import make

GREEK, RUSSIAN = "αργάώΐϋΩ", "абвгдъыэёЄЇҐЎ"
ITALICS = [face for face in FACE_NAMES if face.endswith("italic")]


@pytest.mark.parametrize("face", [face for face in FACE_NAMES if face not in ("music", "fixed")])
def test_every_face_prints_greek_and_cyrillic(face):
    assert not text_face(face).missing(GREEK + RUSSIAN)


@pytest.mark.parametrize("face", ITALICS)
def test_what_an_italic_has_itself_is_not_lent(face):
    assert text_face(face).setting_face("a") is text_face(face)
    assert text_face(face).setting_face("α") is text_face(LENT_FROM[face])


def test_a_line_is_cut_where_the_letters_are_lent():
    assert list(split_by_face("in αργά", "serif-italic")) == [
        ("serif-italic", "in "),
        ("serif-italic-lent", "αργά"),
    ]


def test_ink_leans_with_the_slanted_letter():
    upright, slanted = text_face("sans").ink("Д", 10), text_face("sans-slanted").ink("Д", 10)
    assert slanted.top == upright.top
    assert slanted.right == pytest.approx(upright.right + SLANT * upright.top)
    assert text_face("sans-slanted").width("Д", 10) == text_face("sans").width("Д", 10)


def failing(path):
    """What is told of the document at `path`, which cannot be made."""
    outcome = make(path)
    assert outcome.failed
    return [str(problem) for problem in outcome.problems]


def _page(text: str, face: str) -> PlacedDocument:
    marks = (Text(Role.TITLE, 10.0, 10.0, text, face, 10.0),)
    return PlacedDocument((Page(200.0, 50.0, (Group(0.0, 0.0, 1.0, marks),)),))


@pytest.mark.parametrize("face", ITALICS)
def test_lent_letters_are_drawn_where_they_are_measured_and_copied_as_written(face):
    text = "so αργά и ты"
    page = pdfplumber.open(io.BytesIO(draw_pdf(_page(text, face)))).pages[0]
    assert page.extract_text() == text
    measured = text_face(face)
    for number, char in enumerate(page.chars):
        assert char["matrix"][4] == pytest.approx(10 + measured.width(text[:number], 10), abs=0.01)
        lender = measured.setting_face(text[number])
        assert char["matrix"][2] == pytest.approx(lender.slant, abs=1e-3)


def test_a_drawing_slants_what_the_face_lends():
    document = _page("aД", "sans-italic")
    assert draw_svg(document.pages[0], document).count(f"matrix(1 0 {SLANT:g} 1 0 0)") == 1


def test_a_greek_title_stands_on_one_page_and_over_several(tmp_path):
    path = tmp_path / "a.yaml"
    measures = "".join("  - {notes: [1/1: 1:0], new: page}\n" for _ in range(2))
    path.write_text(f"score: 1\ntitle: Κάτω στον γιαλό\nmeasures:\n{measures}", "utf-8")
    assert not make(path, output=str(tmp_path / "a.pdf")).failed


def test_a_word_with_several_strange_letters_is_refused_once(tmp_path):
    path = tmp_path / "a.yaml"
    path.write_text("score: 1\nmeasures:\n  - {notes: [1/1: 1:0], text: 安静 now}\n", "utf-8")
    (problem,) = [each for each in failing(path) if "cannot be printed" in each]
    assert ":3:" in problem
    assert "安静" in problem


def test_what_only_a_running_head_would_print_is_no_matter_on_one_page(tmp_path):
    """The house's running head asks for a face that lacks a letter; one page has none."""
    path = tmp_path / "a.yaml"
    head = "house-style: {words: {title: {face: sans}, running_head: {face: serif}}}"
    path.write_text(f"score: 1\ntitle: ἀλλά\n{head}\nmeasures:\n  - {{notes: [1/1: 1:0]}}\n", "utf-8")
    assert not make(path, output=str(tmp_path / "a.pdf")).failed
    path.write_text(path.read_text("utf-8") + "  - {notes: [1/1: 1:0], new: page}\n", "utf-8")
    assert any(":2:" in each for each in failing(path))


def test_every_lender_is_a_face():
    assert set(LENT_FROM.values()) <= set(ALL_FACES)
