"""Accidentals among words: set from the music face, measured and drawn there (Unicode, Musical Symbols; SMuFL, csym)."""

import io

import pypdfium2
import pytest

from engrave.drawing.svg import draw_svg
from engrave.fonts.face_files import FACE_NAMES
from engrave.fonts.text_face import ACCIDENTALS, split_by_face, text_face
from tests.made import make, place

SCORE = """score: 1
title: Song in B♭
subtitle: or in F♯, D♮, G𝄪 and A𝄫
copyright: © E♭ House
credits: {music: B♭ Smith}
tempo: B♭ feel
parts: [{id: a, name: Horn in E♭, instrument: guitar}, {id: b, name: Horn in F♯, instrument: bass}]
measures:
  - label: To D♭
    parts:
      a: {notes: [1/1: 1:0], lyrics: Sol♭, text: {1: in G♭}}
      b: {notes: [1/1: 1:0]}
"""
WORDS = ("Song in B♭", "or in F♯, D♮, G𝄪 and A𝄫", "© E♭ House", "B♭ Smith", "B♭ feel", "Horn in E♭", "To D♭", "Sol♭", "in G♭")  # fmt: skip


@pytest.mark.parametrize("face", FACE_NAMES)
@pytest.mark.parametrize("sign", ACCIDENTALS)
def test_every_face_has_every_accidental(face, sign):
    measured = text_face(face)
    assert measured.has(sign)
    assert measured.width(f"B{sign}", 10) == pytest.approx(
        (measured.width("B", 10) if face != "music" else text_face("music").width("B", 10))
        + text_face("music").width(sign, 10)
    )


def test_the_ink_of_an_accidental_counts():
    face = text_face("serif")
    assert face.ink("a♯", 10).top == pytest.approx(text_face("music").ink("♯", 10).top)
    assert face.ink("a♯", 10).right > face.ink("a", 10).right


def test_runs_are_cut_where_the_face_changes():
    assert list(split_by_face("in B♭ or C♯♮", "serif")) == [("serif", "in B"), ("music", "♭"), ("serif", " or C"), ("music", "♯♮")]  # fmt: skip


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "a.yaml"
    path.write_text(SCORE, "utf-8")
    return path


def test_words_with_accidentals_are_copied_from_the_page_as_they_were_written(path, tmp_path):
    assert not make(path, output=str(tmp_path / "a.pdf")).failed
    page = pypdfium2.PdfDocument(io.BytesIO((tmp_path / "a.pdf").read_bytes()))[0]
    text = page.get_textpage().get_text_range()
    assert [words for words in WORDS if words not in text] == []


def test_a_drawing_has_the_shapes_of_accidentals(path, tmp_path):
    pages, outcome = place(path)
    assert outcome.problems == ()
    assert pages is not None
    drawn = draw_svg(pages.pages[0], pages)
    for sign in ACCIDENTALS:
        assert f'id="music-{ord(sign):x}" d="M' in drawn


def test_books_captions_and_headings_print_accidentals(tmp_path):
    (tmp_path / "a.yaml").write_text("score: 1\ntitle: Air in B♭\nmeasures: [{notes: [1/1: 1:0], lyrics: Mi♭}]\n", "utf-8")  # fmt: skip
    (tmp_path / "book.yaml").write_text("songbook: 1\ntitle: Airs in E♭\nsongs: [{section: All in A♭}, a.yaml]\nindexes: [title, first-line]\n", "utf-8")  # fmt: skip
    (tmp_path / "handout.yaml").write_text("handout: 1\ntitle: From D♭\ncontent:\n  - text: '# On G♭\n\n      *then* F𝄪.'\n  - {music: a.yaml, caption: In C♭}\n  - {tip: Use B𝄫}\n", "utf-8")  # fmt: skip
    wanted = {"book": ("Airs in E♭", "All in A♭", "Air in B♭", "Mi♭"), "handout": ("From D♭", "On G♭", "F𝄪.", "In C♭", "B𝄫")}  # fmt: skip
    for name, words in wanted.items():
        outcome = make(tmp_path / f"{name}.yaml", output=str(tmp_path / f"{name}.pdf"))
        assert not outcome.failed, outcome.problems
        document = pypdfium2.PdfDocument(io.BytesIO((tmp_path / f"{name}.pdf").read_bytes()))
        text = "".join(page.get_textpage().get_text_range() for page in document)
        assert [word for word in words if word not in text] == []
