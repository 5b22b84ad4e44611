"""The tables of words: the same keys in every language, every word printable, every sign named and shown by an example.

Lengths are house rules: a name and its sentence stand beside a small example. Names of keys: common practice, no source.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from engrave.documents.songbook import Index
from engrave.fonts.face_files import FACE_NAMES
from engrave.fonts.text_face import text_face
from engrave.problems import ProblemLog
from engrave.resources import data_folder
from engrave.score.sign_list import EXPLAINED_SIGNS
from engrave.score.structure import Event, PartMeasure, Score
from engrave.source.parse import parse_yaml
from engrave.style import wordbook
from engrave.style.load import load_style
from engrave.style.wordbook import INDEXES, PageWords, load_wordbook, read_wordbook, table_languages
from engrave.theory.key import Key, Mode, parse_key
from engrave.theory.swing import Swing
from tests import made
from tests.reading.helpers import problems, read

FOLDER = data_folder() / "styles" / "words"
LANGUAGES = ("de", "en", "es", "fr")
OTHERS = tuple(language for language in LANGUAGES if language != "en")
BESIDE_THE_LIST = (
    "grace",
    "appoggiatura",
    "closing-grace",
    "slash",
    "measure-repeat",
    "multiple-rest",
    "swing",
)
NAMES = (*EXPLAINED_SIGNS, *BESIDE_THE_LIST)
LONGEST_NAME = 50
LONGEST_SENTENCE = 145
CODE = Path(wordbook.__file__).parent.parent


def content(path: Path) -> dict[str, Any]:
    """What a data file says."""
    loaded = parse_yaml(path.read_text("utf-8"), ProblemLog(path.name))
    assert isinstance(loaded, dict)
    return loaded


EXAMPLES = content(data_folder() / "styles" / "signs" / "examples.yaml")
WORDS = {language: content(FOLDER / f"{language}.yaml") for language in LANGUAGES}


def leaves(tree: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Every word of a table by its keys."""
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield from leaves(value, f"{path}/{key}")
    else:
        yield path, tree


def test_every_table_is_tested():
    assert table_languages() == LANGUAGES


@pytest.mark.parametrize("language", OTHERS)
def test_a_table_has_just_the_keys_of_the_english_one(language):
    own, english = (dict(leaves(WORDS[name])).keys() for name in (language, "en"))
    assert own ^ english == set()


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_table_says_which_language_it_is(language):
    assert (WORDS[language]["words"], WORDS[language]["language"]) == (1, language)
    assert load_wordbook(language).language == language


@pytest.mark.parametrize("language", OTHERS)
def test_slots_stand_where_the_english_words_have_them(language):
    english = dict(leaves(WORDS["en"]))
    count = {path: len(re.findall(r"\{(?:small)?\}", str(word))) for path, word in leaves(WORDS[language])}
    assert {path for path, number in count.items() if number != str(english[path]).count("{}")} == set()


SECTIONS = ("page", "indexes", "notes", "keys", "instruments", "tunings", "letters", "countings", "signs")


def read_changed(table):
    """The words of a table that is changed."""
    return read_wordbook(parse_yaml(json.dumps(table, ensure_ascii=False), ProblemLog("table")), "table")


@pytest.mark.parametrize("section", SECTIONS)
@pytest.mark.parametrize(
    "change", ["a word is missing", "not known in", "section is missing", "must be words"]
)
def test_a_table_that_is_not_complete_is_refused(section, change):
    table = json.loads(json.dumps(WORDS["de"]))
    if change == "a word is missing":
        table[section].popitem()
    elif change == "not known in":
        table[section]["odd"] = next(iter(table[section].values()))
    elif change == "section is missing":
        del table[section]
    else:
        inner = table[section]
        while isinstance(next(iter(inner.values())), dict):
            inner = next(iter(inner.values()))
        inner[next(iter(inner))] = None if section == "countings" else ""
    told = {"not known in": '"odd" is not', "must be words": "must be words"}.get(
        change, f"{section}.* is missing"
    )
    with pytest.raises(ValueError, match=told):
        read_changed(table)


def test_all_that_is_wrong_with_a_table_is_told_at_once():
    table = json.loads(json.dumps(WORDS["de"]))
    table["page"]["odd"] = table["keys"]["mayor"] = "x"
    with pytest.raises(
        ValueError,
        match=r'"odd" is not known in page(.|\n)*"mayor" is not known in keys; did you mean "major"',
    ):
        read_changed(table)


def test_every_index_has_a_heading():
    assert tuple(index.value for index in Index) == INDEXES


def test_every_word_of_the_page_is_asked_for():
    code = "\n".join(path.read_text("utf-8") for path in CODE.rglob("*.py") if path.name != "wordbook.py")
    code += (
        FOLDER.parent.parent.joinpath("engrave", "style", "wordbook.py")
        .read_text("utf-8")
        .split("class Wordbook")[1]
    )
    assert [field for field in PageWords._fields if not re.search(rf"\.{field}\b", code)] == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_word_can_be_printed_in_every_face(language):
    said = "".join(str(word) for _, word in leaves(WORDS[language])).replace("♯", "").replace("♭", "")
    assert {
        face: text_face(face).missing(said)
        for face in FACE_NAMES
        if face != "music" and text_face(face).missing(said)
    } == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_two_keys_and_no_two_tunings_of_one_instrument_are_called_alike(language):
    book = load_wordbook(language)
    keys = [book.key_name(Key(fifths, mode)) for fifths in range(-7, 8) for mode in Mode]
    assert len(set(keys)) == len(keys) == 15 * 7
    six = [name for tuning, name in book.tunings.items() if tuning not in ("bass drop D", "drop A 7")]
    assert len(set(six)) == len(six)
    assert len(set(book.instruments.values())) == len(book.instruments)


@pytest.mark.parametrize(
    ("key", "names"),
    [
        ("G major", "G major|G-Dur|sol majeur|Sol mayor"),
        ("E minor", "E minor|e-Moll|mi mineur|Mi menor"),
        ("B minor", "B minor|h-Moll|si mineur|Si menor"),
        ("Bb major", "B♭ major|B-Dur|si bémol majeur|Si bemol mayor"),
        ("F# minor", "F♯ minor|fis-Moll|fa dièse mineur|Fa sostenido menor"),
        ("Ab major", "A♭ major|As-Dur|la bémol majeur|La bemol mayor"),
        ("D dorian", "D Dorian|d-dorisch|ré dorien|Re dórico"),
        ("G mixolydian", "G Mixolydian|G-mixolydisch|sol mixolydien|Sol mixolidio"),
    ],
)
def test_keys_are_called_as_the_language_calls_them(key, names):
    """Common practice of each language, no source."""
    found = [load_wordbook(language).key_name(parse_key(key)) for language in ("en", "de", "fr", "es")]
    assert found == names.split("|")


@pytest.mark.parametrize(("language", "number"), [("en", "3.5"), ("de", "3,5"), ("fr", "3,5"), ("es", "3,5")])
def test_numbers_have_the_decimal_sign_of_the_language(language, number):
    assert load_wordbook(language).number(3.5) == number
    assert load_wordbook(language).number(4.0) == "4"


@pytest.mark.parametrize(
    ("language", "letters"),
    [
        ("en", "let ring"),
        ("de", "klingen lassen"),
        ("cy", "let ring"),
        ("", "let ring"),
        ("DE-at", "klingen lassen"),
    ],
)
def test_letters_at_a_sign_are_those_of_the_language(language, letters):
    assert load_style("", language=language)[0].signs["let-ring"].letters == letters
    assert load_style("handout", language=language)[0].signs["let-ring"].letters == letters


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_house_style_has_the_last_word_on_letters_and_words(tmp_path, language):
    text = "style: 1\nsigns: {let-ring: {letters: l.v.}}\nwords: {no_chord: tacet}\ngrids: {fret_number: 'at {}'}\n"
    (tmp_path / "mine.yaml").write_text(text, "utf-8")
    style, _ = load_style("mine.yaml", str(tmp_path / "score.yaml"), language=language)
    assert (style.signs["let-ring"].letters, style.words.no_chord, style.grids.fret_number) == (
        "l.v.",
        "tacet",
        "at {}",
    )


def test_one_table_is_read_for_one_language(tmp_path):
    load_wordbook.cache_clear()
    path = tmp_path / "score.yaml"
    path.write_text(
        "score: 1\nlanguage: fr\ncounting: true\nexplain-signs: used\nmeasures: [{notes: [1/1: {2: 5 accent}]}]\n",
        "utf-8",
    )
    assert made.place(str(path))[0] is not None
    assert load_wordbook.cache_info().misses == 1


@pytest.mark.parametrize("language", LANGUAGES)
def test_just_the_signs_of_the_list_are_named_and_explained(language):
    signs = WORDS[language]["signs"]
    assert set(signs) == set(NAMES)
    assert not [
        name for name, entry in signs.items() if set(entry) != {"name", "play"} or not all(entry.values())
    ]


@pytest.mark.parametrize("language", LANGUAGES)
def test_names_and_sentences_are_short(language):
    signs = WORDS[language]["signs"]
    assert not [name for name, entry in signs.items() if len(entry["name"]) > LONGEST_NAME]
    assert not [name for name, entry in signs.items() if len(entry["play"]) > LONGEST_SENTENCE]


@pytest.mark.parametrize("language", LANGUAGES)
def test_how_to_play_is_one_sentence_with_a_full_stop(language):
    signs = WORDS[language]["signs"]
    assert not [
        name for name, entry in signs.items() if not entry["play"].endswith(".") or ". " in entry["play"]
    ]


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_two_signs_have_the_same_name(language):
    names = Counter(entry["name"] for entry in WORDS[language]["signs"].values())
    assert not [name for name, count in names.items() if count > 1]


def test_just_the_signs_of_the_list_have_an_example():
    assert set(EXAMPLES) == set(NAMES)


def example_text(name: str) -> str:
    """The score that shows the sign `name`."""
    example = EXAMPLES[name]
    measures = example if isinstance(example, list) else [example]
    rows = "".join(f"  - {json.dumps(measure)}\n" for measure in measures)
    return f"score: 1\nkey: C major\nmeasures:\n{rows}"


@pytest.mark.parametrize("name", NAMES)
def test_an_example_reads_without_a_problem(name):
    assert problems(example_text(name)) == []


@pytest.mark.parametrize("name", NAMES)
def test_an_example_shows_its_sign(name):
    assert name in set(signs_of(read(example_text(name))))


def signs_of(score: Score) -> Iterator[str]:
    """The name of every sign in `score`, as the key to the signs calls it."""
    if any(measure.rests > 1 for measure in score.measures):
        yield "multiple-rest"
    if any(measure.swing is not Swing.NONE for measure in score.measures):
        yield "swing"
    for measure in score.parts[0].measures:
        yield from _signs_of_measure(measure)


def _signs_of_measure(measure: PartMeasure) -> Iterator[str]:
    if measure.repeats:
        yield "measure-repeat"
    yield from (span.name for span in measure.spans)
    for voice in measure.voices:
        for event in voice.events:
            yield from _signs_of_event(event)


def _signs_of_event(event: Event) -> Iterator[str]:
    yield from (technique.sign for technique in event.techniques)
    for note in event.notes:
        yield from (technique.sign for technique in note.techniques)
        if note.finger:
            yield "finger"
    if event.before is not None:
        yield "grace" if event.before.slashed else "appoggiatura"
    if event.after is not None:
        yield "closing-grace"
