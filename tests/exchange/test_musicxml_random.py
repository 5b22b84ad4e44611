"""Random music with random signs goes through MusicXML and comes back the same (property test).

A voice that is silent for a measure is left away by the reader, as files of others have many; such measures are not compared.
"""

from hypothesis import HealthCheck, given, settings

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
    different = differences(found, loaded(tree))
    assert {place: pair for place, pair in different.items() if not has_silent_voice(found, place)} == {}


def has_silent_voice(score, place):
    """Whether a place of comparison is a measure of a part in which a voice has nothing but rests."""
    if not isinstance(place[1], int):
        return False
    (part,) = (part for part in score.parts if part.id == place[0])
    return any(not any(event.notes for event in voice.events) for voice in part.measures[place[1]].voices)
