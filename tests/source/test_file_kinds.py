"""Files that are no documents of ours: named by what they hold (the signatures of their published formats)."""

import pytest

from engrave.resources import data_folder
from engrave.source.file_kinds import find_kind

TAB = b"e|-0-1-3-0-|\nB|---------|\nG|---------|\nD|---------|\nA|---------|\nE|---------|\n"


@pytest.mark.parametrize(
    ("name", "data", "words", "is_read"),
    [
        ("a.png", b"\x89PNG\r\n\x1a\n", "a PNG picture", False),
        ("a.jpg", b"\xff\xd8\xff\xe0", "a JPEG picture", False),
        ("a.pdf", b"%PDF-1.7", "a PDF file", False),
        ("a.svg", b'<?xml version="1.0"?>\n<svg xmlns="x"/>', "an SVG picture", False),
        ("a.html", b"<!DOCTYPE html><html>", "an HTML page", False),
        ("a.wav", b"RIFF\0\0\0\0WAVE", "a sound file", False),
        ("a.docx", b"PK\x03\x04", "a zip file", False),
        ("a.mid", b"MThd\0\0\0\6", "a MIDI file", True),
        ("a.mxl", b"PK\x03\x04", "a compressed MusicXML file", True),
        ("a.musicxml", b'\xef\xbb\xbf<?xml version="1.0"?><score-partwise>', "a MusicXML file", True),
        ("a.txt", TAB, "typed tab", True),
        ("mail", b"Hello,\n\n" + TAB, "typed tab", True),
        ("a.txt", b"just words", "a text file", True),
    ],
)
def test_a_file_is_named_by_what_it_holds(name, data, words, is_read):
    assert find_kind(data, name) == (words, is_read)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"score: 1\n",
        b"scroe: 1\ntitle: x\n",
        b"\xef\xbb\xbfhandout: 1\n",
        b"- 1\n",
        b"# e|---|\nscore: 1\n" + TAB,
    ],
)
def test_what_may_be_a_document_is_left_to_the_reader(data):
    assert find_kind(data, "a.yaml") is None


@pytest.mark.parametrize(
    "path", sorted((data_folder() / "samples").rglob("*.yaml")), ids=lambda path: path.stem
)
def test_every_sample_is_a_document(path):
    assert find_kind(path.read_bytes(), str(path)) is None
