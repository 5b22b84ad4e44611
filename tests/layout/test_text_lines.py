"""Paragraphs in lines against exhaustive search. The demerits are those of Knuth and Plass 1981, from memory."""

import re
from itertools import accumulate, combinations, pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from engrave.fonts.text_face import text_face
from engrave.layout.text.lines import TextFaces, break_paragraph
from engrave.score.rich_text import Run
from engrave.style.load import load_style

FACES = TextFaces("serif", "serif-bold", "serif-italic", "serif-bold-italic", "sans")
SIZE = 2.0
STYLE = load_style("")[0].paragraphs
TOLERANCE = 1e-6
SPACE = text_face("serif").width(" ", SIZE)

words = st.sampled_from(
    [
        "a",
        "in",
        "the",
        "note",
        "string",
        "fretted",
        "accompaniment",
        "unmistakable",
        "Gitarre",
        "well-known",
        "F♯",
        "4–5",
        "two\xa0beats",
        "3\u202f4",
        "ta\xadblature",
    ]
)
looks = st.tuples(st.booleans(), st.booleans(), st.booleans(), st.sampled_from(["", "", "https://a.b"]))
rich = st.lists(
    st.builds(
        lambda text, gap, look: Run(text + gap, *look), words, st.sampled_from([" ", "  ", "", "\n"]), looks
    ),
    min_size=1,
    max_size=25,
)


def plain(text, width, language="xx", justified=True, indent=0.0):
    return break_paragraph(
        [Run(text)], width, FACES, SIZE, language, STYLE, justified=justified, first_indent=indent
    )


def shown(lines):
    return ["".join(piece.text for piece in line.pieces) for line in lines]


def right(line):
    return line.pieces[-1].x + line.pieces[-1].width


def demerits(text, room, justified, is_last, hyphens):
    """The price of a line of plain words, written down afresh; `hyphens` at its own end and at the one before."""
    blank = text.count(" ") * SPACE
    spare = room - text_face("serif").width(text, SIZE)
    if spare < -TOLERANCE:
        shrink = blank / 3 if justified else 0
        if -spare > shrink + TOLERANCE:
            return None
        badness = 100 * (-spare / shrink) ** 3
    elif is_last:
        badness = 0
    else:
        stretch = blank / 2 if justified else 2 * SIZE
        badness = min(10_000, 100 * (spare / stretch) ** 3) if stretch else 10_000
    return (1 + badness + 50 * hyphens[0]) ** 2 + (6401**2 if all(hyphens) else 0)


def price(parts, stops, width, indent, justified):
    """The price of all lines; `parts` are syllables and whether a hyphen may stand after them, else a blank."""
    total = 0
    for start, stop in pairwise([0, *stops]):
        is_last = stop == len(parts)
        text = "".join(syllable + ("" if cut else " ") for syllable, cut in parts[start:stop]).rstrip()
        hyphens = (parts[stop - 1][1] and not is_last, start > 0 and parts[start - 1][1])
        cost = demerits(
            text + "-" * hyphens[0], width - (0 if start else indent), justified, is_last, hyphens
        )
        if cost is None:
            return None
        total += cost
    return total


def cheapest(parts, *how):
    inner = range(1, len(parts))
    ways = ([*cuts, len(parts)] for size in range(len(parts)) for cuts in combinations(inner, size))
    return min((cost for stops in ways if (cost := price(parts, stops, *how)) is not None), default=None)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.tuples(st.text("abcil", min_size=1, max_size=6), st.booleans()), min_size=1, max_size=10),
    st.floats(8, 30),
    st.floats(0, 3),
    st.booleans(),
)
def test_no_way_of_breaking_is_cheaper(parts, width, indent, justified):
    parts[-1] = (parts[-1][0], False)
    best = cheapest(parts, width, indent, justified)
    assume(best is not None)
    text = "".join(syllable + ("\u00ad" if cut else " ") for syllable, cut in parts)
    lines = plain(text, width, justified=justified, indent=indent)
    lengths = [len(line.text.replace(" ", "")) for line in lines]
    ends = list(accumulate(len(syllable) for syllable, _ in parts))
    stops = [ends.index(end) + 1 for end in accumulate(lengths)]
    assert price(parts, stops, width, indent, justified) == pytest.approx(best, rel=1e-5)


@settings(max_examples=200, deadline=None)
@given(rich, st.floats(3, 60), st.booleans(), st.floats(0, 2))
def test_lines_keep_their_promises(runs, width, justified, indent):
    lines = break_paragraph(runs, width, FACES, SIZE, "en", STYLE, justified=justified, first_indent=indent)
    written = re.sub(r" *\n *", "\n", re.sub(" +", " ", "".join(run.text for run in runs))).strip(" ")
    assert "".join(line.text for line in lines) == written.replace("\u00ad", "")
    for n, line in enumerate(lines):
        start = 0 if n else indent
        text = "".join(piece.text for piece in line.pieces)
        assert (
            text == line.text.rstrip(" \n").replace("\u202f", "\u00a0") + "-" * line.is_hyphenated
            or "\u202f" in text
        )
        assert not line.pieces or line.pieces[0].x == pytest.approx(start)
        for one, two in pairwise(line.pieces):
            assert two.x == pytest.approx(one.x + one.width)
        if line.pieces and right(line) > width + TOLERANCE:
            assert " " not in text
        if justified and not line.is_last and " " in text:
            assert right(line) == pytest.approx(width)
        if not justified and line.pieces:
            assert right(line) - start == pytest.approx(line.natural_width)


@settings(max_examples=100, deadline=None)
@given(rich, st.floats(3, 60), st.booleans())
def test_characters_stand_at_the_widths_of_their_face(runs, width, justified):
    for line in break_paragraph(runs, width, FACES, SIZE, "en", STYLE, justified=justified):
        for piece in line.pieces:
            face = text_face(piece.face)
            assert face.missing(piece.text) == []
            if not piece.text.endswith((" ", "\u00a0")):
                assert piece.width == pytest.approx(face.width(piece.text, SIZE))


def test_looks_choose_faces():
    runs = [
        Run("a"),
        Run("b", bold=True),
        Run("c", italic=True),
        Run("d", True, True),
        Run("e", code=True),
        Run("F♯", link="#x"),
    ]
    (line,) = break_paragraph(runs, 100, FACES, SIZE, "en", STYLE, justified=True)
    assert [(p.text, p.face, p.link) for p in line.pieces] == [
        ("a", "serif", ""), ("b", "serif-bold", ""), ("c", "serif-italic", ""), ("d", "serif-bold-italic", ""), ("e", "sans", ""),
        ("F♯", "serif", "#x"),
    ]  # fmt: skip


def test_words_are_hyphenated_by_their_language():
    # Syllables from memory: a dictionary's ac-com-pa-ni-ment; German Be-glei-tung.
    assert shown(plain("accompaniment", 8.5, "en-GB"))[0].endswith("-")
    assert shown(plain("Begleitung", 6.5, "de-DE")) == ["Beglei-", "tung"]
    assert [line.text for line in plain("Begleitung", 6.5, "de-DE")] == ["Beglei", "tung"]


def test_a_word_over_runs_is_hyphenated_as_one():
    lines = break_paragraph(
        [Run("Be", bold=True), Run("gleitung")], 6.5, FACES, SIZE, "de", STYLE, justified=True
    )
    assert shown(lines) == ["Beglei-", "tung"]


@pytest.mark.parametrize(
    "run",
    [
        Run("accompaniment", link="https://a.b"),
        Run("well-known", link="#a"),
        Run("accompaniment", code=True),
        Run("into"),
    ],
)
def test_links_code_and_short_words_stay_whole(run):
    assert len(break_paragraph([run], 0.5, FACES, SIZE, "en", STYLE, justified=True)) == 1


def test_a_language_without_patterns_is_not_hyphenated():
    for language in ("", "xx", "tlh-Latn"):
        assert len(plain("accompaniment", 1, language)) == 1


def test_soft_hyphens_come_first_and_vanish_in_the_line():
    assert shown(plain("accompani\u00adment", 1, "en")) == ["accompani-", "ment"]
    assert shown(plain("ta\u00adbla\u00adture \u00ad", 100, "en")) == ["tablature"]


def test_written_hyphens_end_lines_between_letters_only():  # plain TeX breaks after hyphens; the rest is a house rule
    assert shown(plain("well-known", 1)) == ["well-", "known"]
    assert not plain("well-known", 1)[0].is_hyphenated
    assert len(plain("4-5", 1)) == len(plain("-a", 1)) == len(plain("a-", 1)) == 1


def test_no_line_ends_at_a_no_break_space():  # Unicode Standard Annex 14, class GL
    assert len(plain("two\u00a0beats in\u202ffour", 1)) == 2


def test_no_break_spaces_stretch_with_the_others():
    line = plain("a\u00a0b c ddddddddd", 5.5)[0]
    first, second, third = line.pieces
    assert second.x - first.x - text_face("serif").width("a", SIZE) == pytest.approx(
        third.x - second.x - text_face("serif").width("b", SIZE)
    )


def test_forced_ends_are_not_stretched():
    lines = break_paragraph(
        [Run("a b"), Run("\n"), Run("\n"), Run("c"), Run("\n")], 50, FACES, SIZE, "en", STYLE, justified=True
    )
    assert [(line.text, line.is_last) for line in lines] == [("a b\n", True), ("\n", True), ("c\n", True)]


def test_nothing_makes_no_line():
    assert plain(" ", 10) == plain("", 10) == plain("\u00ad", 10) == ()


def test_two_hyphens_in_a_row_are_avoided():
    text = (
        "Before you play the first measure, count slowly and listen to the way the bass line moves under the melody. "
        "The thumb stays on the sixth and fifth strings throughout the introduction, while the fingers take turns on "
        "the upper strings; keep the accompaniment quieter than the tune. In the second ending the bend must reach a "
        "whole tone, which demands considerable strength, so practise it separately before playing everything together."
    )
    columns = [plain(text, width, "en") for width in range(32, 70)]
    assert any(line.is_hyphenated for lines in columns for line in lines)
    assert not any(
        one.is_hyphenated and two.is_hyphenated for lines in columns for one, two in pairwise(lines)
    )


def test_long_paragraphs_take_no_time_to_speak_of():
    lines = plain("Every measure of the accompaniment is played twice. " * 200, 60, "en")
    assert len(lines) > 100
    assert all(right(line) == pytest.approx(60) for line in lines[:-1])
