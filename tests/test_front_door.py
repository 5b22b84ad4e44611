"""`import engrave`: what the guide promises to programs."""

import io
import re
import subprocess
import sys
from pathlib import Path

import pikepdf
import pytest

import engrave
import engrave.front_door
from engrave.cli import main
from tests.guide_texts import all_typed

ROOT = Path(__file__).parent.parent
TUNE = ROOT / "samples" / "lantern-waltz.yaml"
BOOK = ROOT / "samples" / "books" / "harbour-songs.yaml"
WRONG = "score: 1\nmeasures:\n  - notse: [1/1: 3:0]\n  - notes: [1/3: 3:0]\n"


def test_the_examples_of_the_guide_run(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    Path("tune.yaml").write_text(TUNE.read_text("utf-8"), "utf-8")
    blocks = [typed.text for typed in all_typed() if typed.info == "python"]
    names = {}
    assert len(blocks) == 2
    for block in blocks:
        exec(block, names)
    assert names["pdf"].startswith(b"%PDF")
    assert names["midi"].startswith(b"MThd")
    assert capsys.readouterr().out.split("\n")[1:] == [
        '3 "notse" is not known here did you mean "notes"?',
        "",
    ]
    assert [path.name for path in tmp_path.iterdir()] == ["tune.yaml"]


def test_pages_are_the_bytes_that_the_command_line_writes(tmp_path):
    main(
        [
            "make",
            str(TUNE),
            "--style",
            "songbook",
            "--view",
            "tab",
            "-o",
            str(tmp_path / "tune.pdf"),
            "--quiet",
        ]
    )
    pages = engrave.place(engrave.read(TUNE), style="songbook", view=engrave.View.TAB)
    assert engrave.draw(pages) == (tmp_path / "tune.pdf").read_bytes()


def test_one_document_can_be_placed_again_and_again():
    document = engrave.read(TUNE)
    upright = engrave.place(document, size="A5")
    lying = engrave.place(document, size="A5", orientation=engrave.Orientation.LANDSCAPE)
    assert upright.marks.pages[0].width == lying.marks.pages[0].height
    assert engrave.draw(engrave.place(document)) == engrave.draw(engrave.place(document))


def test_all_that_is_wrong_comes_as_records():
    with pytest.raises(engrave.WrongInput) as wrong:
        engrave.place(engrave.read_text(WRONG, "quay.yaml"))
    first, second = wrong.value.problems
    assert (first.file, first.location.line, first.where) == ("quay.yaml", 3, "measure 1")
    assert (first.severity, second.location.line) == (engrave.Severity.ERROR, 4)
    assert str(wrong.value).splitlines() == [str(first), str(second)]
    assert engrave.check(engrave.read_text(WRONG, "quay.yaml")) == wrong.value.problems


@pytest.mark.parametrize(
    ("action", "words"),
    [
        (lambda: engrave.read("gone.yaml"), "there is no such file"),
        (lambda: engrave.read("gone.musicxml"), "there is no such file"),
        (lambda: engrave.read_text("title: Quay"), 'the key "score" is missing'),
        (lambda: engrave.place(engrave.read(TUNE), style="none-such"), 'there is no style "none-such"'),
        (lambda: engrave.place(engrave.read(TUNE), size="A44"), '"A44" is not a paper size'),
        (lambda: engrave.write(engrave.read(BOOK), engrave.Foreign.MIDI), "this is a songbook, not a score"),
        (
            lambda: engrave.write(engrave.read(TUNE), engrave.Foreign.TEXT, measures="2"),
            "measures is for --as midi or wav",
        ),
        (lambda: engrave.write(engrave.read(TUNE), engrave.Foreign.MIDI, measures="99"), "99"),
        (
            lambda: engrave.draw_pages(engrave.place(engrave.read(BOOK), jobs=1), engrave.Format.SVG),
            "a songbook is drawn as pdf or png",
        ),
        (
            lambda: engrave.draw_pages(engrave.place(engrave.read(TUNE)), engrave.Format.PDF),
            "holds all pages",
        ),
    ],
)
def test_what_cannot_be_done_is_said_in_words(action, words):
    with pytest.raises(ValueError, match=re.escape(words)):
        action()


def test_every_form_of_page_can_be_had():
    pages = engrave.place(engrave.read(TUNE))
    (picture,) = engrave.draw_pages(pages, dots_per_inch=30)
    (drawing,) = engrave.draw_pages(pages, engrave.Format.SVG)
    assert picture.startswith(b"\x89PNG")
    assert drawing.startswith(b"<")


def test_a_booklet_and_an_attached_source():
    document = engrave.read(TUNE)
    prepress = engrave.Prepress(booklet=True, attach_source=True)
    with pikepdf.open(io.BytesIO(engrave.draw(engrave.place(document), prepress, document))) as pdf:
        assert list(pdf.attachments) == [TUNE.name]
        assert pdf.attachments[TUNE.name].get_file().read_bytes() == TUNE.read_bytes()


def test_scores_of_other_forms_are_read_and_what_was_guessed_is_told():
    document = engrave.read(ROOT / "samples" / "typed" / "slack-water.txt")
    assert document.score.title == "Slack Water"
    assert all(remark.severity is engrave.Severity.WARNING for remark in document.remarks)
    assert document.remarks


def test_the_front_door_is_listed_and_nothing_else_is_there():
    assert set(engrave.front_door.__all__) <= set(dir(engrave))
    for name in engrave.front_door.__all__:
        assert getattr(engrave, name).__doc__, name
    with pytest.raises(AttributeError, match="no attribute 'raed'"):
        engrave.raed  # noqa: B018 - asking is the test


def test_importing_loads_nothing_until_something_is_used():
    code = "import sys, engrave; print(len([m for m in sys.modules if m.startswith('engrave')]))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout == "2\n"  # itself and its version


def test_music_is_written_for_practising():
    document = engrave.read(TUNE)
    plain = engrave.write(document, engrave.Foreign.MIDI).data
    counted = engrave.write(document, engrave.Foreign.MIDI, practising=engrave.Practising(count_in=2)).data
    assert plain != counted
    assert counted.count(b"MTrk") == plain.count(b"MTrk") + 1  # the track of the click
