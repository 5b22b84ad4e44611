"""Random music with random signs goes through MusicXML and comes back the same (property tests)."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.musicxml.writer import write_musicxml
from tests.exchange.test_round_trips import differences, loaded
from tests.layout.test_random_scores import scores
from tests.reading.helpers import read


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(scores())
def test_random_scores_come_back_through_musicxml(text):
    found = read(text)
    tree, losses = read_musicxml(write_musicxml(found))
    assert losses == []
    assert differences(found, loaded(tree)) == {}


SILENCES = ["rest", "[1/1: rest]", "[1/2: [rest, rest]]", "[1/4: rest, 1/2.: {marks: [fermata]}]"]
UPPER = [*SILENCES, "[1/2: [{1: 3}, {1: 5}]]", "[1/4: rest, 1/2.: {2: 1}]"]
LOWER = [*SILENCES, "[1/4: [{5: 3}, {6: 3}, {5: 3}, rest]]"]


@st.composite
def quiet_scores(draw):
    """Scores in which voices are silent for a measure or for the whole piece."""
    lines = ["score: 1", "measures:"]
    for at in range(draw(st.integers(1, 5))):
        if at == 0 and draw(st.booleans()):
            lines.append("  - {pickup: true, notes: [1/4: rest]}")
        content = {
            "notes": draw(st.sampled_from([None, *UPPER])),
            "lower": draw(st.sampled_from([None, *LOWER])),
        }
        lines.append(f"  - {{{', '.join(f'{name}: {music}' for name, music in content.items() if music)}}}")
    return "\n".join(lines) + "\n"


@settings(max_examples=200)
@given(quiet_scores())
def test_silent_voices_come_back_through_musicxml(text):
    found = read(text)
    tree, losses = read_musicxml(write_musicxml(found))
    assert losses == []
    assert differences(found, loaded(tree)) == {}
