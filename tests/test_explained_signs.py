"""The key to the signs explains just what occurs, in the author's words or language, with a caution where the hand is strained."""

import pytest

from engrave.fonts.text_setting import InstalledFaces
from engrave.marks.bounds import measure_page_marks
from engrave.marks.role import Role
from engrave.problems import Severity
from engrave.score.structure import View
from engrave.style.load import load_style
from engrave.style.wordbook import load_wordbook
from tests import made


def pages(tmp_path, text, view=None):
    path = tmp_path / "score.yaml"
    path.write_text(text, "utf-8")
    document, outcome = made.place(str(path), view=view)
    assert document is not None, [str(p) for p in outcome.problems]
    return document.pages


def texts(found, role):
    return [mark.text for page in found for group in page.groups for mark in group.marks if mark.role is role]


def names(tmp_path, text, view=None):
    return texts(pages(tmp_path, text, view), Role.EXPLANATION_NAME)


def score(notes, head="", extra=""):
    return f"score: 1\nexplain-signs: used\n{head}measures:\n  - notes: {notes}\n{extra}"


def test_only_the_signs_that_occur_are_explained_in_alphabetical_order(tmp_path):
    text = score(
        "[1/4: [{2: 5}, {2: 7 hammer-on}, {2: 5 pull-off}, {2: 5 accent}]]",
        extra="    spans: {1: palm-mute for 1/4}\n",
    )
    assert names(tmp_path, text) == ["Accent", "Hammer-on", "Palm mute", "Pull-off"]


def test_without_the_wish_or_without_signs_there_is_no_key(tmp_path):
    assert names(tmp_path, "score: 1\nmeasures: [{notes: [1/1: {2: 5 accent}]}]\n") == []
    assert names(tmp_path, score("[1/1: {2: 5}]")) == []


def test_each_sign_has_an_example_drawn_small(tmp_path):
    (page,) = pages(tmp_path, score("[1/4: [{2: 5}, {2: 7 hammer-on}], 1/2: rest]"))
    music = page.groups[1].scale
    small = [g for g in page.groups if g.scale < music and any(m.role is Role.FRET for m in g.marks)]
    assert len(small) == 1
    assert any(m.role is Role.SLUR for m in small[0].marks)


@pytest.mark.parametrize(
    ("notes", "times"),
    [("[1/2: [{2: {fret: 8, bend: full}}, {2: {fret: 8, bend: full}}]]", 1), ("[1/1: {2: 5 accent}]", 0)],
)
def test_a_caution_is_printed_once_where_a_technique_strains_the_hand(tmp_path, notes, times):
    caution = " ".join(texts(pages(tmp_path, score(notes)), Role.EXPLANATION_CAUTION))
    assert caution.count("hurts") == times
    assert ("a doctor" in caution) is bool(times)


def test_the_authors_own_words_come_first(tmp_path):
    head = "house-style: {sign-words: {accent: {name: Kick, play: Lean into it.}}}\n"
    found = pages(tmp_path, score("[1/1: {2: 5 accent}]", head))
    assert texts(found, Role.EXPLANATION_NAME) == ["Kick"]
    assert texts(found, Role.EXPLANATION_TEXT) == ["Lean into it."]


@pytest.mark.parametrize(
    ("language", "word"),
    [("de", "Akzent"), ("fr", "Accent"), ("es", "Acento"), ("de-AT", "Akzent"), ("cy", "Accent")],
)
def test_the_words_follow_the_language_and_are_english_where_there_are_none(tmp_path, language, word):
    assert names(tmp_path, score("[1/1: {2: 5 accent}]", f"language: {language}\n")) == [word]


def test_octave_lines_are_not_explained_where_no_staff_shows_them(tmp_path):
    text = score("[1/1: {1: 12}]", extra="    spans: {1: 8va for 1/1}\n")
    assert names(tmp_path, text) == [load_wordbook("en").signs["8va"].name]
    assert names(tmp_path, text, View.TAB) == []


def test_a_long_key_goes_on_over_pages_without_losing_a_sign(tmp_path):
    marks = [
        "staccato",
        "tenuto",
        "accent",
        "fermata",
        "trill",
        "mordent",
        "turn",
        "tap",
        "slap",
        "pop",
        "snap",
        "golpe",
        "fingernails",
        "pick-down",
        "pick-up",
        "caesura",
        "rake",
    ]
    rows = "".join(f"  - notes: [1/1: {{2: 5 {mark}}}]\n" for mark in marks) * 2
    found = pages(tmp_path, f"score: 1\nexplain-signs: used\nmeasures:\n{rows}")
    assert len(found) > 1
    assert len(texts(found, Role.EXPLANATION_NAME)) == len(marks)
    for page in found:
        for _, mark, box in measure_page_marks(page, InstalledFaces()):
            assert box.bottom >= 0, mark
            assert box.right <= page.width, mark


def test_wrong_words_are_refused_where_they_stand(tmp_path):
    path = tmp_path / "score.yaml"
    path.write_text(
        score("[1/1: {2: 5 accent}]", "house-style:\n  sign-words:\n    acent: {name: A}\n"), "utf-8"
    )
    document, outcome = made.place(str(path))
    assert document is None
    (problem,) = outcome.problems
    assert problem.severity is Severity.ERROR
    assert str(problem).startswith(f'{path}:5:5: "acent" is not a sign; did you mean "accent"?')


@pytest.mark.parametrize(("language", "words"), [("en", ["1", "e", "&", "a"]), ("de", ["1", "e", "+", "e"])])
def test_the_count_is_spoken_in_the_language_of_the_score(tmp_path, language, words):
    text = f"score: 1\nlanguage: {language}\ncounting: true\nmeasures: [{{notes: [1/16: [{{1: 0}}, {{1: 1}}, {{1: 3}}, {{1: 1}}], 1/2.: {{1: 0}}]}}]\n"
    assert texts(pages(tmp_path, text), Role.COUNTING)[:4] == words


@pytest.mark.parametrize(
    ("language", "thirds"), [("en", "1 trip let"), ("de", "1 o le"), ("fr", "1 o let"), ("es", "1 y a")]
)
def test_thirds_are_counted_as_class_teachers_of_the_language_say_them(tmp_path, language, thirds):
    """Common practice, no source."""
    assert counted(tmp_path, f"language: {language}\n")[:3] == thirds.split()


@pytest.mark.parametrize("language", ["en", "de", "fr", "es", "cy"])
@pytest.mark.parametrize(
    ("asked", "thirds"),
    [
        ("la-li", "1 la li 2"),
        ("{second-third: ti, last-third: ta}", "1 ti ta 2"),
        ('{second-third: x, last-third: ""}', "1 x 2"),
    ],
)
def test_a_house_style_chooses_other_syllables(tmp_path, language, asked, thirds):
    assert (
        counted(tmp_path, f"language: {language}\nhouse-style: {{counting-words: {asked}}}\n")
        == thirds.split()
    )


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ("la-lee", '"la-lee" is not a set of syllables for counting; did you mean "la-li"?'),
        ("{third: x}", '"third" is not known in counting-words; did you mean "last-third"?'),
        ("{half: 3}", "counting-words: half must be words; put it in quotation marks"),
    ],
)
def test_syllables_that_cannot_be_are_refused(tmp_path, asked, message):
    path = tmp_path / "score.yaml"
    path.write_text(
        f"score: 1\nhouse-style: {{counting-words: {asked}}}\nmeasures: [{{notes: [1/1: {{1: 0}}]}}]\n",
        "utf-8",
    )
    document, outcome = made.place(str(path))
    assert document is None
    assert message in str(outcome.problems[0])


def counted(tmp_path, head):
    notes = "[3 in 2 of 1/8: [{1: 0}, {1: 1}, {1: 3}], 1/4: {1: 0}]"
    text = f"score: 1\n{head}time: 2/4\ncounting: true\nmeasures: [{{notes: {notes}}}]\n"
    return texts(pages(tmp_path, text), Role.COUNTING)


@pytest.mark.parametrize("view", list(View))
def test_examples_are_smaller_than_the_music_but_no_letter_is_smaller_than_the_smallest(tmp_path, view):
    style, _ = load_style("base")
    words = [kind.size for kind in style.words if hasattr(kind, "size") and kind.face != "music"]
    for notes in (
        "[1/1: {2: {fret: 5, bend: full}}]",
        "[1/1: {2: {fret: 5, vibrato-bar: dip}}]",
        "[1/4: [{2: 5}, {2: 7 slide}], 1/2: rest]",
    ):
        found = [
            group
            for page in pages(tmp_path, score(notes, extra="  - {measure-repeat: 1, chord: C}\n"), view)
            for group in page.groups
            if any(mark.role in (Role.TAB_LINE, Role.STAFF_LINE) for mark in group.marks)
        ]
        music = max(group.scale for group in found)
        examples = [group for group in found if group.scale < music - 1e-6]
        assert examples
        for group in examples:
            assert group.scale >= style.explanations.example_size * music - 1e-6
            letters = [
                mark.size * group.scale
                for mark in group.marks
                if mark.role is Role.PLAYING_SIGN and hasattr(mark, "text")
            ]
            assert all(size >= min(words) * music - 1e-6 for size in letters)


MANY = [
    "staccato",
    "tenuto",
    "accent",
    "fermata",
    "trill",
    "mordent",
    "turn",
    "tap",
    "slap",
    "pop",
    "snap",
    "golpe",
    "fingernails",
    "pick-down",
]


@pytest.mark.parametrize("lines", range(3, 9))
def test_the_caution_never_stands_on_a_page_without_signs(tmp_path, lines):
    rows = (
        "".join(f"  - notes: [1/1: {{2: 5 {mark}}}]\n" for mark in MANY)
        + "  - notes: [1/1: {2: {fret: 8, bend: full}}]\n"
    )
    rows += "  - {notes: [1/1: {2: 5}], new: line}\n" * lines
    for page in pages(tmp_path, f"score: 1\nexplain-signs: used\nmeasures:\n{rows}"):
        if texts([page], Role.EXPLANATION_CAUTION):
            assert len(texts([page], Role.EXPLANATION_NAME)) > 1


def test_a_key_that_fits_its_page_with_tighter_rows_takes_no_second_one():
    document, _ = made.place("samples/signs/legato.yaml")
    assert len(document.pages) == 1
