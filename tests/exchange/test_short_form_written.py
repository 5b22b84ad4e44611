"""What the readers of foreign forms write is as short as the score language allows, and says the same.

The grammar of the short form is the language's own (engrave/score/short_form.py).
"""

import pytest

from engrave.exchange.midi.reader import read_midi
from engrave.exchange.midi.writer import write_midi
from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.musicxml.writer import write_musicxml
from engrave.exchange.text_tab.reader import read_text_tab
from engrave.exchange.text_tab.writer import write_text_tab
from engrave.writing.score_tree import score_tree
from engrave.writing.short_events import join_events, short_event
from tests.exchange.test_round_trips import ALL, loaded, sample
from tests.exchange.test_text_tab_rows import same
from tests.reading.helpers import measure, read

FORMS = {
    "score": score_tree,
    "musicxml": lambda score: read_musicxml(write_musicxml(score))[0],
    "midi": lambda score: read_midi(write_midi(score, repeats=False))[0],
    "typed": lambda score: read_text_tab(write_text_tab(score)[0].encode()).tree,
}


def durations(value):
    """What stands behind every duration of a tree."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if "/" in str(key) and " in " not in str(key):
                yield inner
            elif key != "shapes":
                yield from durations(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from durations(inner)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_nothing_is_longer_than_it_need_be(path, form):
    for written in durations(FORMS[form](sample(path))):
        events = written if isinstance(written, list) else [written]
        assert [short_event(event) if isinstance(event, dict) else event for event in events] == events
        assert join_events(events) == written


def test_fingers_of_held_notes_come_back():
    text = "  - notes: [1/4: [3:5 finger 1, tie finger 3, {2: 5 finger 2, 3: 5 finger 1}, {2: tie, 3: tie finger 3}]]\n"
    assert "3: finger 3" in same(text)
    tree, lost = read_musicxml(write_musicxml(read(f"score: 1\nmeasures:\n{text}")))
    assert lost == []
    assert [[n.finger for n in e.notes] for e in loaded(tree).parts[0].measures[0].voices[0].events][1:2] == [
        ["3"]
    ]


def test_a_mark_of_an_event_needs_no_more_words_in_a_typed_tab_than_one_of_a_note():
    assert "all:" not in same("  - notes: [1/4: [3:5 accent, 3:7 vibrato, 3:5 fermata staccato, rest]]\n")
    assert "5*-t7" in same("  - notes: [1/2: [3:5 staccato, 3:7 tap]]\n")
    assert "all: vibrato" in same("  - notes: [1/1: {3: 5, marks: vibrato}]\n")


def test_credits_and_verses_take_one_line():
    score = read(
        f"score: 1\ncredits: {{music: traditional}}\n{measure('[1/2: 3:0 3:2]').removeprefix('score: 1')[1:]}    lyrics: {{1: a b, 2: c d}}\n"
    )
    tree = score_tree(score)
    assert tree["credits"] == "traditional"
    assert tree["measures"][0]["lyrics"] == ["a b", "c d"]
    for form in ("musicxml", "typed"):
        other = FORMS[form](score)
        assert (other["credits"], other["measures"][0]["lyrics"]) == ("traditional", ["a b", "c d"])


def test_verses_with_gaps_keep_their_numbers():
    score = read(f"{measure('[1/2: 3:0 3:2]')}    lyrics: {{1: a b, 3: c d}}\n")
    assert score_tree(score)["measures"][0]["lyrics"] == {"1": "a b", "3": "c d"}
