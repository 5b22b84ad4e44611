"""Scores told in words: told whole, told once, told so that the notes can be written down again. House rules."""

from html.parser import HTMLParser

import pytest
from hypothesis import HealthCheck, given, settings

from engrave.commands.writing import write_score
from engrave.exchange.words.as_file import as_html, as_text
from engrave.exchange.words.depth import Depth
from engrave.exchange.words.outline import Items
from engrave.exchange.words.speech import speaker_of
from engrave.exchange.words.vocabulary import load_spoken
from engrave.exchange.words.writer import tell_score
from engrave.reading.load import load_score
from engrave.requests.exchange import Foreign, WriteRequest
from engrave.score.techniques import technique_words
from engrave.settings.shipped import names_in
from engrave.style.wordbook import table_languages
from engrave.theory.chord_name import parse_chord_name
from tests.exchange.test_round_trips import ALL, sample
from tests.exchange.words_reader import HeardEvent, HeardNote, hear
from tests.layout.test_random_scores import scores
from tests.reading.helpers import read

LANGUAGES = ("de", "en", "es", "fr")
NOTES = [Depth.LINE, Depth.NOTES]


def sample_at(path):
    """The score in a file, which is right."""
    return load_score(str(path))[0]


def told(text, depth=Depth.LINE, language="en"):
    return as_text(tell_score(read(text), depth, language)[0])


def music(text, depth=Depth.LINE, language="en"):
    """The lines under the last measure."""
    return told(text, depth, language).rstrip("\n").split("\n\n")[-1].split("\n")


# --- Notes heard again.


def expected_note(note, every_note):
    pitch = note.pitch.name if (every_note or not note.string) and not note.is_slash else ""
    techniques = tuple(sorted(technique_words(technique) for technique in note.techniques))
    string, fret = (0, 0) if note.is_slash else (note.string, note.fret)
    return HeardNote(string, fret, pitch, note.tie_from, note.tie_to and every_note, techniques, note.finger)


def expected_event(event, every_note):
    graces = []
    for row, kind in ((event.before, ""), (event.after, "closing grace notes")):
        if row is not None:
            kind = kind or ("grace note" if row.slashed else "appoggiatura")
            graces.append((kind, tuple(expected_event(grace, True) for grace in row.events)))
    techniques = tuple(sorted(technique_words(technique) for technique in event.techniques))
    notes = tuple(expected_note(note, every_note) for note in event.notes)
    if event.whole_measure:
        return HeardEvent("", (), (), techniques, tuple(graces), True)
    ratios = tuple((tuplet.ratio.actual, tuplet.ratio.normal) for tuplet in event.tuplets)
    return HeardEvent(event.value.name, ratios, notes, techniques, tuple(graces))


def expected(score, every_note):
    return [
        [
            ("again", own.repeats)
            if own.repeats
            else ("rests", measure.rests)
            if measure.rests > 1
            else tuple(
                tuple(expected_event(event, every_note) for event in voice.events) for voice in own.voices
            )
            for measure, own in zip(score.measures, part.measures)
        ]
        for part in score.parts
    ]


@pytest.mark.parametrize("depth", NOTES)
@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_what_is_told_of_a_sample_gives_the_same_notes(path, depth):
    score = sample(path)
    heard = hear(as_text(tell_score(score, depth, "en")[0]))
    assert heard == expected(score, depth is Depth.NOTES)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(scores())
def test_what_is_told_of_random_music_gives_the_same_notes(text):
    score = read(text)
    for depth in NOTES:
        heard = hear(as_text(tell_score(score, depth, "en")[0]))
        assert heard == expected(score, depth is Depth.NOTES)


# --- How things are told.

TUNE = """score: 1
title: Quay
key: G major
tempo: Easy, 1/4 = 80
measures:
  - {chord: G, notes: [1/8: 3:2 3:4 hammer-on, 1/4: 2:0 2:0, 1/4: rest]}
"""


def test_values_are_said_once_and_strings_while_the_tune_leaves_them():
    line = music(TUNE)[-2]
    assert line == (
        "Two eighths: third string, second fret; hammer on to fourth fret. "
        "Two quarters: second string, open, two times. Quarter rest."
    )


def test_every_note_has_its_beat_string_fret_and_pitch():
    lines = music(TUNE, Depth.NOTES)
    assert lines[-6:-3] == [
        "Beat 1, eighth: third string, second fret, A octave 4.",
        "Beat 1 and 1/2, eighth: third string, hammer on to fourth fret, B octave 4.",
        "Beat 2, quarter: second string, open, B octave 4.",
    ]


def test_an_overview_has_no_measures():
    text = told(TUNE, Depth.OVERVIEW)
    assert "Measure 1" not in text
    assert "Chords: G." in text
    assert "Tempo: “Easy”, 80 quarters a minute." in text


def test_music_that_comes_again_is_told_once():
    one, two = "{notes: [1/1: 3:2]}", "{notes: [1/2: 2:1 2:3]}"
    text = told(f"score: 1\nmeasures: [{one}, {two}, {one}, {two}, {one}]\n")
    assert "Measures 3 to 4\nThe same as measures 1 to 2." in text
    assert "Measure 5\nThe same as measure 1." in text


def test_repeats_are_told_where_they_are_written_and_their_music_once():
    text = told(
        "score: 1\nmeasures: [{repeat: start, notes: [1/1: 3:2]}, {repeat: end, notes: [1/1: 2:1]}]\n"
    )
    assert text.count("third string") == 1
    assert "A repeat begins here." in text
    assert "The repeat ends here, played two times in all." in text
    assert "Order of playing: 1 to 2, 1 to 2." in text


def test_silent_measures_are_told_as_what_they_are():
    text = told("score: 1\nmeasures: [{notes: [1/1: 3:2]}, {notes: rest}, {notes: rest}]\n")
    assert text.count("Rest for the whole measure.") == 2


def test_what_an_author_says_stands_in_quotation_marks():
    lines = music('score: 1\nmeasures: [{text: "Go. On, ”now”", notes: [1/1: 3:2]}]\n')
    assert lines[1] == "Key: C major. Time: 4/4."
    assert lines[2] == "Instruction “Go. On, 'now'”."


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("F#m7b5/E", "F sharp minor 7 flat 5 over E"),
        ("Bbmaj7", "B flat major 7"),
        ("C6/9", "C 6 9"),
        ("Gsus4", "G suspended 4"),
        ("Caug", "C augmented"),
        ("N.C.", "no chord"),
    ],
)
def test_chord_names_are_read_out(name, words):
    assert speaker_of("en").chord(parse_chord_name(name)) == words


# --- Languages.


def test_every_language_of_pages_has_spoken_words():
    assert names_in("spoken") == table_languages() == LANGUAGES
    for language in LANGUAGES:
        table = load_spoken(language)
        assert table.language == language
        assert (len(table.counts), len(table.strings), len(table.frets)) == (12, 8, 13)
        assert (len(table.notes), len(table.steps)) == (7, 12)


def test_slots_are_the_same_in_every_language():
    def slots(words):
        return sorted(part.split("}")[0] for part in words.split("{")[1:])

    english = load_spoken("en")
    for language in LANGUAGES:
        other = load_spoken(language)
        for name, words in english.phrases._asdict().items():
            assert slots(getattr(other.phrases, name)) == slots(words), (language, name)


def test_no_two_things_are_called_the_same_in_a_language():
    for language in LANGUAGES:
        table = load_spoken(language)
        values = [word for names in table.values.values() for word in (names.one, names.rest, names.dotted, names.dotted_rest)]  # fmt: skip
        for words in (values, table.strings, table.frets, table.steps, table.pluck.values(), table.reached.values()):  # fmt: skip
            assert len(set(words)) == len(list(words)), (language, words)


@pytest.mark.parametrize(
    ("language", "note"),
    [("de", "Bund"), ("fr", "corde"), ("es", "cuerda"), ("en", "string")],
)
def test_the_language_asked_for_goes_before_that_of_the_score(language, note):
    assert note in told(TUNE.replace("title: Quay", "title: Quay\nlanguage: fr"), language=language)


def test_a_score_is_told_in_its_own_language():
    assert "deuxième case" in told(TUNE.replace("title: Quay", "title: Quay\nlanguage: fr"), language="")


def test_notes_have_the_names_of_the_language():
    german = speaker_of("de")
    assert [german.note_name(6, alter) for alter in (-1, 0, 1)] == ["B", "H", "His"]
    assert [german.note_name(step, -1) for step in (2, 5, 1)] == ["Es", "As", "Des"]


# --- Pages for screen readers.


class Outliner(HTMLParser):
    """What a screen reader makes of a page: its headings, and whether every element that opens closes in order."""

    VOID = ("meta",)

    def __init__(self):
        super().__init__()
        self.open, self.headings, self.languages, self.tags = [], [], [], set()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.languages += [value for name, value in attrs if name == "lang"]
        if tag not in self.VOID:
            self.open.append(tag)
        if tag[0] == "h" and tag[1:].isdigit():
            self.headings.append(int(tag[1:]))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


@pytest.mark.parametrize("depth", Depth)
@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_pages_have_one_main_heading_and_skip_no_level(path, depth):
    page = Outliner()
    page.feed(as_html(tell_score(sample(path), depth, "es")[0]))
    assert not page.open
    assert page.headings.count(1) == 1
    assert page.headings[0] == 1
    assert all(after <= before + 1 for before, after in zip(page.headings, page.headings[1:]))
    assert page.languages[0] == "es"
    assert not page.tags & {"script", "style", "table", "br"}


def test_authors_words_are_escaped_and_titles_keep_their_language():
    text = TUNE.replace("title: Quay", 'title: "<b>Où & là</b>"\nlanguage: fr')
    page = as_html(tell_score(read(text), Depth.LINE, "en")[0])
    assert '<h1 lang="fr">&lt;b&gt;Où &amp; là&lt;/b&gt;</h1>' in page
    assert '<html lang="en">' in page


# --- What has no words, and what is asked.


def test_what_only_a_page_has_is_told(tmp_path):
    path = tmp_path / "quay.yaml"
    path.write_text("score: 1\nmeasures: [{notes: [1/1: 3:2]}, {new: line, notes: [1/1: 3:2]}]\n")
    written = write_score(sample_at(path), str(path), WriteRequest(file=str(path), form=Foreign.WORDS))
    assert [str(p).split("warning: ")[1] for p in written.problems] == [
        "breaks of lines and pages have no words (measure 2)"
    ]


def test_measures_may_be_chosen(tmp_path):
    path = tmp_path / "quay.yaml"
    path.write_text("score: 1\ntitle: Quay\nmeasures: [{notes: [1/1: 3:2]}, {notes: [1/1: 3:4]}]\n")
    written = write_score(
        sample_at(path), str(path), WriteRequest(file=str(path), form=Foreign.WORDS, measures="2")
    )
    text = written.data.decode()
    assert text.startswith("Quay\n")
    assert "fourth fret" in text
    assert "second fret" not in text


def test_a_language_without_words_is_refused(tmp_path):
    path = tmp_path / "quay.yaml"
    path.write_text(TUNE)
    written = write_score(
        sample_at(path), str(path), WriteRequest(file=str(path), form=Foreign.WORDS, language="xx")
    )
    assert written.data is None
    assert 'there are no words in "xx"; there are de, en, es, fr' in str(written.problems[-1])


def test_lists_are_numbered_by_the_reader_and_not_by_the_text():
    sections = tell_score(read(TUNE), Depth.NOTES, "en")[0].sections
    lists = [block for block in sections[1].sections[0].blocks if isinstance(block, Items)]
    assert [len(each.items) for each in lists] == [5]
