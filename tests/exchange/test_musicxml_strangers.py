"""MusicXML files from anywhere: encodings, packed, damaged, hostile, and a corpus with every note accounted for."""

import io
import re
import time
import zipfile
from functools import cache
from pathlib import Path

import pypdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.drawing.pdf.draw import draw_pdf
from engrave.exchange.musicxml.reader import read_musicxml
from engrave.layout.document import place_score
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from engrave.score.structure import View
from engrave.style.load import load_style
from engrave.writing.dump import dump_score
from tests.exchange.musicxml_helpers import FOUR, attributes, direction, fretted, load, note, score, strings

SECONDS_PER_FILE = 60
"""What one file of the corpus may take, on a slow machine."""


def test_timewise_files_are_turned_round():
    text = score(FOUR, FOUR).replace("score-partwise", "score-timewise")
    text = text.replace('<part id="P1">', "").replace("</part></score", "</score")
    text = text.replace("</measure>", "</part></measure>")
    text = re.sub(r'(<measure number="\d">)', r'\1<part id="P1">', text)
    assert len(load(text)[0]["measures"]) == 2


@pytest.mark.parametrize("encoding", ["UTF-8", "UTF-16", "ISO-8859-1"])
def test_encodings(encoding):
    head = "<work><work-title>Möwe</work-title></work>"
    text = score(FOUR, head=head).replace("UTF-8", encoding)
    assert load(text.encode(encoding))[0]["title"] == "Möwe"


def packed(text, path="score.xml", container=None, extra=()):
    """A compressed file."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        names = f'<container><rootfiles><rootfile full-path="{path}"/></rootfiles></container>'
        archive.writestr("META-INF/container.xml", container or names)
        archive.writestr(path, text)
        for name in extra:
            archive.writestr(name, "x")
    return target.getvalue()


def test_compressed_files():
    assert load(packed(score(FOUR)))[0]["measures"]


BOMB = '<!DOCTYPE a [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]><score-partwise>&b;</score-partwise>'


OUTSIDE = '<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]><score-partwise>&x;</score-partwise>'


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "empty|well-formed"),
        (b"hello", "well-formed"),
        (b"<html/>", "not a MusicXML"),
        (b"<score-partwise/>", "no parts"),
        (b'<score-partwise><part id="a"/></score-partwise>', "no measures"),
        (BOMB.encode(), "entities"),
        (OUTSIDE.encode(), "entities"),
        (b"<a>" * 100_000, "nested"),
        (score(FOUR).encode()[:-30], "well-formed"),
        (packed(score(FOUR))[:200], "unpacked|damaged"),
        (packed("<a>" + " " * 80_000_000 + "</a>"), "zip bomb"),
        (packed(score(FOUR), extra=("../../evil.xml",)), "unsafe name"),
        (packed(score(FOUR), extra=("/etc/evil.xml",)), "unsafe name"),
        (packed(score(FOUR), container="<container/>"), "does not hold"),
        (b"<?xml version='1.0' encoding='klingon'?><a/>", "encoding|well-formed"),
        (b"PK\x03\x04 not really a zip file", "unpacked|damaged"),
    ],
    ids=lambda value: None if isinstance(value, bytes) else value,
)
def test_wrong_files_are_refused_with_a_sentence(data, why):
    with pytest.raises(ValueError, match=why):
        read_musicxml(data)


def survives(data):
    try:
        tree, _ = read_musicxml(data)
    except ValueError:
        return
    log = ProblemLog("f")
    assert read_text_score(dump_score(tree), log) is not None, [str(p) for p in log.in_order()]


@given(st.binary(max_size=300))
def test_random_bytes_never_crash(data):
    survives(data)
    survives(b"PK\x03\x04" + data)


RICH = score(
    attributes(strings(capo="<capo>1</capo>"))
    + direction('<wedge type="crescendo"/>')
    + fretted(1, 3, "G4", '<hammer-on type="stop"/>', '<tied type="start"/>')
    + fretted(2, 1, "C4", "<bend><bend-alter>2</bend-alter></bend>", chord=True)
    + fretted(1, 3, "G4", notations='<tied type="stop"/>')
    + note("E4", 8, "half", inner="<lyric number='1'><syllabic>begin</syllabic><text>a</text></lyric>")
    + "<backup><duration>16</duration></backup>"
    + note("E2", 16, "whole", voice=2),
    "<harmony><root><root-step>G</root-step></root><kind>dominant</kind></harmony>"
    + FOUR
    + '<barline><bar-style>light-heavy</bar-style><ending number="1" type="start"/><repeat direction="backward"/></barline>',
    direction("<words>D.C.</words>") + FOUR,
)


PIECES = re.findall(r"<[^>]+>|[^<]+", RICH)


@settings(max_examples=150)
@given(st.data())
def test_mutated_files_give_a_right_score_or_a_clear_refusal(data):
    pieces = list(PIECES)
    for _ in range(data.draw(st.integers(1, 4))):
        index = data.draw(st.integers(3, len(pieces) - 1))
        kind = data.draw(st.sampled_from(["drop", "number", "copy", "swap"]))
        if kind == "drop" and not pieces[index].startswith("<"):
            pieces[index] = ""
        elif kind == "number" and not pieces[index].startswith("<"):
            values = ["0", "-1", "3", "7", "64", "1e9", "nan", "x", "1/2", "99999999999999999999"]
            pieces[index] = data.draw(st.sampled_from(values))
        elif kind == "copy":
            pieces[index] += pieces[index]
        elif kind == "swap" and not pieces[index].startswith("<"):
            other = data.draw(st.sampled_from([p for p in pieces if not p.startswith("<")] or [""]))
            pieces[index] = other
    survives("".join(pieces).encode())


LARGEST = {".xml": 400_000, ".musicxml": 400_000, ".mxl": 40_000}
"""Bytes of a file of the corpus that is read here, by its ending; how long a larger one takes: tests/benchmarks."""


@cache
def corpus():
    music21 = pytest.importorskip("music21")
    folder = Path(music21.__file__).parent / "corpus"
    files = sorted(p for p in folder.rglob("*") if p.suffix in LARGEST)
    return [p for p in files[::12] if p.stat().st_size <= LARGEST[p.suffix]]


def count_source_notes(data):
    """Notes that are no rests, counted in the text, without the reader's help."""
    if data.startswith(b"PK"):
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = [name for name in archive.namelist() if not name.startswith("META-INF")]
            data = b"".join(archive.read(name) for name in names)
    data = data.replace(b"\0", b"")
    return sum(b"<rest" not in text for text in re.findall(rb"<note[\s>].*?</note>", data, re.DOTALL))


def count_score_notes(found):
    events = [e for p in found.parts for m in p.measures for v in m.voices for e in v.events]
    graces = [g for e in events for side in (e.before, e.after) if side for g in side.events]
    return sum(len(event.notes) for event in events + graces)


def count_lost(losses, unit):
    matches = (re.match(rf"(\d+) {unit}s?: ", loss.what) for loss in losses)
    return sum(int(match.group(1)) for match in matches if match)


def test_every_note_of_a_corpus_is_in_the_score_or_among_the_losses():
    for path in corpus():
        data = path.read_bytes()
        started = time.monotonic()
        tree, losses = read_musicxml(data)
        assert time.monotonic() - started < SECONDS_PER_FILE, path.name
        log = ProblemLog("f")
        found = read_text_score(dump_score(tree), log)
        assert found is not None, (path.name, [str(p) for p in log.in_order()][:5])
        kept = count_score_notes(found) - count_lost(losses, "more head")
        assert kept + count_lost(losses, "note") == count_source_notes(data), path.name


def test_a_sample_of_the_corpus_is_engraved():
    small = [path for path in corpus() if path.stat().st_size < 60_000][::9]
    assert small
    for path in small:
        found = read_text_score(dump_score(read_musicxml(path.read_bytes())[0]), ProblemLog("f"))
        pages = place_score(found, load_style(found.style)[0], View.STAFF_AND_TAB)
        pdf = pypdf.PdfReader(io.BytesIO(draw_pdf(pages)))
        assert len(pdf.pages) == len(pages.pages), path.name


# --- Words of others.


def test_signs_of_a_music_face_among_words_are_told_and_left_out():
    tree, losses = load(
        score("<direction><direction-type><words>\ue167</words></direction-type></direction>" + FOUR)
    )
    assert "text" not in tree["measures"][0]
    assert [loss.what for loss in losses] == ["sign of a music face among words"]


def test_a_syllable_that_ends_with_a_hyphen_goes_on():
    words = (
        "<lyric><text>A-</text></lyric>",
        "<lyric><syllabic>single</syllabic><text>ni-</text></lyric>",
        "<lyric><text>ma</text></lyric>",
    )
    music = "".join(note("C4", inner=word) for word in words) + note("C4")
    assert load(score(music))[0]["measures"][0]["lyrics"] == "A-ni-ma"


def test_the_largest_words_in_the_middle_of_the_first_page_are_the_title():
    credits = "".join(
        f'<credit page="{page}"><credit-words justify="{side}" font-size="{size}">{words}</credit-words></credit>'
        for page, side, size, words in (
            (1, "right", 30, "Anna"),
            (1, "center", 8, "set by Bert"),
            (1, "center", 24, "Morning\nSong"),
            (2, "center", 40, "Two"),
        )
    )
    assert load(score(FOUR, head=credits))[0]["title"] == "Morning Song"
    assert "title" not in load(score(FOUR, head=credits.replace('"24"', '"12"')))[0]


def test_a_title_that_is_a_file_name_loses_its_ending():
    assert load(score(FOUR, head="<movement-title>bwv12.mxl</movement-title>"))[0]["title"] == "bwv12"
