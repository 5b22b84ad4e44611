"""Chord sheets: words stay whole under their chords, stanzas together, and the page says how the song goes (common practice, no source)."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.fonts.text_face import text_face
from engrave.layout.songbook.chord_sheet import place_chord_sheet
from engrave.marks.mark import Glyph, Text
from engrave.marks.role import Role
from engrave.problems import ProblemLog
from engrave.reading.load import load_score, read_score_tree
from engrave.score.structure import Grids
from engrave.source.parse import parse_yaml
from engrave.style.load import load_style

STYLE, _ = load_style("songbook")


@pytest.fixture
def read(tmp_path):
    def read_score(text):
        path = tmp_path / "a.yaml"
        path.write_text(f"score: 1\n{text}", "utf-8")
        score, log = load_score(str(path))
        assert score is not None, [str(problem) for problem in log.problems]
        return score

    return read_score


def measure(words, chord="", label=""):
    lyrics = ", ".join(f"'{verse}'" for verse in words) if isinstance(words, list) else f"'{words}'"
    chord = f"chord: {chord}, " if chord else ""
    label = f"label: {label}, " if label else ""
    return f"  - {{{label}{chord}notes: [1/4: 3:0 3:2 2:0 2:1], lyrics: [{lyrics}]}}\n"


def texts(document, role):
    """(page, x, right edge, y, text) of each text of a role, in points."""
    found = []
    for page in document.pages:
        for group in page.groups:
            for mark in group.marks:
                if isinstance(mark, Text) and mark.role is role:
                    x = group.x + mark.x * group.scale
                    width = text_face(mark.face).width(mark.text, mark.size) * group.scale
                    found.append((page.number, x, x + width, group.y + mark.y * group.scale, mark.text))
    return found


def test_a_word_is_not_opened_for_a_chord_that_has_room_over_what_follows(read):
    score = read("measures:\n" + measure("A-long the quay", "Bbmaj7"))
    document = place_chord_sheet(score, STYLE)
    first, second, *_ = texts(document, Role.LYRIC)
    hyphens = texts(document, Role.LYRIC_HYPHEN)
    assert (first[4], second[4]) == ("A", "long")
    assert second[1] == pytest.approx(first[2])
    assert not hyphens


def test_a_word_that_opens_for_chords_has_a_hyphen(read):
    score = read("measures:\n" + measure("A-long the quay", "{1: Bbmaj7, 2: Cm7, 3: F}"))
    document = place_chord_sheet(score, STYLE)
    first, second, *_ = texts(document, Role.LYRIC)
    (hyphen,) = texts(document, Role.LYRIC_HYPHEN)
    assert first[2] < hyphen[1] < hyphen[2] < second[1]


SYLLABLES = st.lists(st.sampled_from(["a-", "long-", "er ", "quay ", "o "]), min_size=4, max_size=4)


@given(SYLLABLES, st.sets(st.integers(1, 4)), st.sampled_from(["G", "Bbmaj7", "F#m7b5"]))
def test_chords_never_touch_and_an_open_word_always_has_a_hyphen(syllables, beats, name):
    text = "".join(syllables).strip(" -") + " end"
    chords = ", ".join(f"{beat}: {name}" for beat in sorted(beats))
    count = len(text.replace("-", " ").split())
    notes = " ".join(["3:0"] * count)
    source = f"score: 1\ntime: {count}/4\nmeasures:\n  - {{chord: {{{chords}}}, notes: [1/4: {notes}], lyrics: {text}}}\n"
    source = source if chords else source.replace("chord: {}, ", "")
    log = ProblemLog("")
    score = read_score_tree(parse_yaml(source, log), source.splitlines(), log)
    document = place_chord_sheet(score, STYLE)
    sung = texts(document, Role.LYRIC)
    hyphens = texts(document, Role.LYRIC_HYPHEN)
    named = {}
    for run in texts(document, Role.CHORD_NAME):
        named.setdefault(run[3] // 20, []).append(run)
    for row in named.values():
        assert all(one[2] <= other[1] + 0.01 for one, other in pairwise(row))
    for one, other in pairwise(sung):
        gap = other[1] - one[2]
        joined = text.replace("-", "- ").split()[sung.index(one)].endswith("-")
        if joined and gap > 0.5 and one[3] == other[3]:
            assert any(one[2] <= hyphen[1] <= other[1] for hyphen in hyphens)


def test_a_stanza_stays_on_one_page(read):
    lines = "".join(measure([f"Long cold dark {verse}," for verse in ("sea", "bay", "tow", "den", "fen", "low", "one", "two")], "G") for _ in range(6))  # fmt: skip
    wide = STYLE._replace(book=STYLE.book._replace(sheet_column_fill=1.0))
    document = place_chord_sheet(read("measures:\n" + lines), wide)
    sung = texts(document, Role.LYRIC)
    assert len(document.pages) > 1
    for verse in ("sea,", "bay,", "tow,", "den,", "fen,", "low,", "one,", "two,"):
        assert len({page for page, _, _, _, text in sung if text == verse}) == 1


def test_narrow_lines_stand_in_two_columns_where_one_would_be_long(read):
    lines = "".join(
        measure([f"Dark {verse} runs low," for verse in ("sea", "bay", "tow")], "G") for _ in range(8)
    )
    document = place_chord_sheet(read("measures:\n" + lines), STYLE)
    assert len(document.pages) == 1
    starts = {round(x) for _, x, _, _, text in texts(document, Role.LYRIC) if text == "Dark"}
    assert len(starts) == 2
    short = place_chord_sheet(read("measures:\n" + measure("Dark sea runs low,", "G")), STYLE)
    assert len({round(x) for _, x, _, _, text in texts(short, Role.LYRIC) if text == "Dark"}) == 1


def test_a_refrain_is_printed_once_and_named_after_the_other_verses(read):
    text = measure(["Dark sea runs low,", "Wide bay runs deep,"], "G", "Verse")
    text += measure("Ring bell o ring", "C", "Refrain")
    document = place_chord_sheet(read("measures:\n" + text), STYLE)
    assert [text for *_, text in texts(document, Role.LABEL)] == [
        "1.  Verse",
        "Refrain",
        "2.  Verse",
        "Refrain",
    ]
    assert sum(text == "Ring" for *_, text in texts(document, Role.LYRIC)) == 1


def test_a_section_that_comes_again_with_other_words_or_chords_is_printed(read):
    text = measure("Ring bell o ring", "C", "Refrain") + measure("Dark sea runs low", "G", "Verse")
    again = measure("Ring bell o ring", "D", "Refrain")
    document = place_chord_sheet(read("measures:\n" + text + again), STYLE)
    assert sum(text == "Ring" for *_, text in texts(document, Role.LYRIC)) == 2


def test_the_head_tells_tempo_shapes_and_the_key_that_a_capo_gives(read):
    head = "capo: 2\nkey: G major\ntempo: Calmly, 1/4 = 84\nshapes: {G: 3 2 0 0 0 3}\n"
    score = read(head + "measures:\n" + measure("Dark sea runs low", "G"))
    document = place_chord_sheet(score, STYLE)
    assert "Capo II (sounds in A major)" in [text for *_, text in texts(document, Role.TUNING_TEXT)]
    assert "Calmly" in [text for *_, text in texts(document, Role.TEMPO)]
    marks = [mark for page in document.pages for group in page.groups for mark in group.marks]
    assert any(isinstance(mark, Glyph) and mark.role is Role.TEMPO for mark in marks)
    assert any(mark.role is Role.GRID_LINE for mark in marks)
    bare = place_chord_sheet(replace(score, grids=Grids.NONE), STYLE)
    assert not any(
        m.role is Role.GRID_LINE for page in bare.pages for group in page.groups for m in group.marks
    )


def test_without_a_key_a_capo_says_none(read):
    document = place_chord_sheet(read("capo: 2\nmeasures:\n" + measure("Dark sea runs low", "G")), STYLE)
    assert [text for *_, text in texts(document, Role.TUNING_TEXT)] == ["Capo II"]
