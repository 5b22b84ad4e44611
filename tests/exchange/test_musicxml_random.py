"""Random music with random signs goes through MusicXML and comes back the same (property tests)."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.musicxml.writer import write_musicxml
from engrave.layout.clefs import clefs_of_part
from engrave.writing.dump import dump_score
from tests.exchange.musicxml_helpers import attributes, load, note
from tests.exchange.musicxml_helpers import score as made
from tests.exchange.musicxml_writer_helpers import check_form
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


@st.composite
def scores_in_clefs(draw):
    """Measures with clefs by beat, of one octave with the part's own."""
    has_eight = draw(st.booleans())
    names = ["octave-treble", "octave-bass"] if has_eight else ["treble", "alto", "tenor", "bass"]
    text = f"score: 1\ninstrument: {'guitar' if has_eight else 'voice'}\ntime: 2/4\nmeasures:\n"
    for _ in range(draw(st.integers(1, 4))):
        beats = draw(st.dictionaries(st.sampled_from(["1", "1.5", "2", "2.25"]), st.sampled_from(names)))
        notes = draw(st.sampled_from(["1/2: C4", "1/4: C4 D4", "1/8: C4 rest D4 E4", "1/4: rest D4"]))
        clefs = f"clef: {{{', '.join(f'{beat}: {clef}' for beat, clef in beats.items())}}}, " if beats else ""
        text += f"  - {{{clefs}notes: [{notes}]}}\n"
    return text


@given(scores_in_clefs())
def test_clefs_come_back_through_musicxml(text):
    score = read(text)
    data = write_musicxml(score)
    check_form(data)
    tree, losses = read_musicxml(data)
    assert not losses
    back = read(dump_score(tree))

    def places(found):
        clefs = clefs_of_part(found.parts[0], [], 4, 20)
        inside = {index: [at[:2] for at in row] for index, row in clefs.inside.items()}
        return [clefs.at_start(index) for index in range(len(found.measures))], inside

    assert places(back) == places(score)


def test_a_clef_of_a_file_keeps_the_octave_of_its_part():
    change = "<attributes><clef><sign>{}</sign><line>{}</line></clef></attributes>"
    octave = "<clef><sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change></clef>"
    first = attributes(octave) + note("C4", 16, "whole")
    tree, losses = load(
        made(
            first,
            change.format("F", 4) + note("C3", 16, "whole"),
            change.format("C", 3) + note("C4", 16, "whole"),
        )
    )
    assert tree["measures"][1]["clef"] == {1: "octave-bass"}
    assert [loss.what for loss in losses] == ["alto clef in a part written an octave higher"]
