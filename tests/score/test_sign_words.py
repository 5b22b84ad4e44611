"""The key to the signs: every sign has a name, a sentence and an example that reads without a problem.

Lengths are house rules: a name and its sentence stand beside a small example. Counting syllables: common practice, no
source.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from engrave.diagnostics.problem import ProblemLog
from engrave.resources import data_folder
from engrave.score.sign_list import SIGNS
from engrave.score.structure import Event, PartMeasure, Score
from engrave.source.parse import parse_yaml
from tests.reading.helpers import problems, read

FOLDER = data_folder() / "styles" / "signs"
LANGUAGES = ("de", "en", "es", "fr")
BESIDE_THE_LIST = ("grace", "appoggiatura", "closing-grace", "slash", "measure-repeat", "multiple-rest")
NAMES = (*SIGNS, *BESIDE_THE_LIST)
LONGEST_NAME = 28
LONGEST_SENTENCE = 130
COUNTS = {"half", "quarter", "last-quarter", "second-third", "last-third"}


def content(name: str) -> dict[str, Any]:
    """What the data file `name` says."""
    loaded = parse_yaml((FOLDER / f"{name}.yaml").read_text("utf-8"), ProblemLog(name))
    assert isinstance(loaded, dict)
    return loaded


EXAMPLES = content("examples")
WORDS = {language: content(language) for language in LANGUAGES}


def example_text(name: str) -> str:
    """The score that shows the sign `name`."""
    example = EXAMPLES[name]
    measures = example if isinstance(example, list) else [example]
    rows = "".join(f"  - {json.dumps(measure)}\n" for measure in measures)
    return f"score: 1\nkey: C major\nmeasures:\n{rows}"


def test_every_language_file_has_a_test():
    assert {path.stem for path in FOLDER.glob("*.yaml")} == {*LANGUAGES, "examples"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_language_file_says_which_language_it_is_and_how_it_counts(language):
    words = WORDS[language]
    assert (words["sign-words"], words["language"]) == (1, language)
    assert words["heading"]
    assert words["caution"].endswith(".")
    assert set(words["counting"]) == COUNTS
    assert all(isinstance(syllable, str) and syllable for syllable in words["counting"].values())


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
    yield from (mark.name for mark in event.marks)
    for note in event.notes:
        yield from (mark.name for mark in note.marks)
        if note.finger:
            yield "finger"
    if event.before is not None:
        yield "grace" if event.before.slashed else "appoggiatura"
    if event.after is not None:
        yield "closing-grace"
