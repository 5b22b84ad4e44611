"""Random music, of one part and of several, goes through typed tab and comes back the same (property tests).

Scores are compared whole but for where things stand in the text and the order of notes, marks and spans at one moment.
"""

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from tests.exchange.test_musicxml_random import quiet_scores
from tests.exchange.test_text_tab_rows import there_and_back
from tests.layout.test_random_scores import chords, scores, voices
from tests.reading.helpers import read, read_if_right

QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large]


def in_order(value):
    """The same with the notes of chords in one order."""
    if isinstance(value, list):
        return [in_order(entry) for entry in value]
    if not isinstance(value, dict):
        return value
    found = {name: in_order(entry) for name, entry in value.items()}
    return {name: sorted(entry, key=str) if name == "notes" else entry for name, entry in found.items()}


def check(score, width=100):
    found, twin, lost, written = there_and_back(score, width)
    assert lost == [], written
    assert in_order(twin) == in_order(found), written


@settings(max_examples=60, suppress_health_check=QUIET)
@given(scores(), st.sampled_from([40, 100]))
def test_random_scores_come_back_through_typed_tab(text, width):
    check(read(text), width)


@settings(max_examples=100)
@given(quiet_scores())
def test_silent_voices_come_back_through_typed_tab(text):
    check(read(text))


SUNG = ["C5", "Gb4", "E4+G4", "rest", "{pitch: A4, marks: [fermata]}"]
USUAL = [
    *("", "", ""),
    "barline: dashed",
    "new: page",
    "number: 12",
    "key: Eb major",
    "label: A",
    "tempo: Slower",
    "counting: true",
]
ROADS = [
    [],
    ["repeat: start", "repeat: end"],
    ["ending: 1, repeat: end", "ending: 2"],
    ["fine: true", "go-back: D.C. al Fine"],
    ["segno: true", "to-coda: true", "go-back: D.S. al Coda", "coda: true"],
]
"""What stands in measures that follow each other, so that every jump leads somewhere."""


@st.composite
def ensembles(draw):
    """A voice with words, a guitar and a bass, some of them silent, with endings and jumps."""
    kinds = draw(st.lists(st.sampled_from(["voice", "guitar", "bass", "ukulele"]), min_size=1, max_size=4))
    parts = [
        f"  - {{id: p{number}, name: {kind}, instrument: {kind}, {draw(st.sampled_from(['view: tab', '']))}}}"
        for number, kind in enumerate(kinds)
    ]
    road = draw(st.sampled_from(ROADS))
    before, after = draw(st.lists(st.sampled_from(USUAL), max_size=2)), draw(st.sampled_from(USUAL))
    measures = []
    for head in [*before, *road, after]:
        contents = []
        for number, kind in enumerate(kinds):
            if kind == "voice":
                notes = [draw(st.sampled_from(SUNG)) for _ in range(4)]
                sung = sum(note != "rest" for note in notes)
                words = (
                    f", lyrics: {' '.join(['la'] * draw(st.integers(1, sung)))}"
                    if sung and draw(st.booleans())
                    else ""
                )
                contents.append(f"p{number}: {{notes: [1/4: [{', '.join(notes)}]]{words}}}")
            elif draw(st.integers(0, 3)):
                contents.append(f"p{number}: {{notes: {draw(voices(1, 4))}}}")
            elif measures and "{measure-repeat" not in measures[-1] and draw(st.booleans()):
                contents.append(f"p{number}: {{measure-repeat: 1}}")
        measures.append(f"  - {{{head}{', ' if head else ''}parts: {{{', '.join(contents)}}}}}")
    end = f"  - parts: {{p0: {{notes: [1/1: {'C4' if kinds[0] == 'voice' else draw(chords(1, 4))}]}}}}"
    return "score: 1\nparts:\n" + "\n".join(parts) + "\nmeasures:\n" + "\n".join([*measures, end]) + "\n"


@settings(max_examples=60, suppress_health_check=QUIET)
@given(ensembles(), st.sampled_from([40, 100]))
def test_random_ensembles_come_back_through_typed_tab(text, width):
    score = read_if_right(text)
    assume(score is not None)  # a measure repeated after one that is silent, say
    check(score, width)
