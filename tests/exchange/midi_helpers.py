"""MIDI files made and taken apart for the tests."""

from fractions import Fraction
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import strategies as st

from engrave.exchange.midi.messages import META, Message, encode
from engrave.exchange.midi.reader import read_midi
from engrave.exchange.midi.writer import write_midi
from engrave.playing.performance import perform
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from engrave.writing.dump import dump_score
from tests.reading.helpers import read

mido = pytest.importorskip("mido")


SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.yaml"))


SHEETS = sorted((Path(__file__).parents[2] / "samples" / "signs").glob("*.yaml"))


ALTERED = {"staccato", "staccatissimo", "palm-mute", "dead", "let-ring"}


def score(*measures, head=""):
    return read(f"score: 1\n{head}measures:\n" + "".join(f"  - {measure}\n" for measure in measures))


def parse(data):
    return mido.MidiFile(file=BytesIO(data))


def timed(track):
    """(tick, message) of a track."""
    tick, rows = 0, []
    for message in track:
        tick += message.time
        rows.append((tick, message))
    return rows


def sounding(file):
    """(track, start, length, pitch, velocity) with times in whole notes."""
    found = []
    for number, track in enumerate(file.tracks):
        open_notes = {}
        for tick, message in timed(track):
            if message.type == "note_on":
                assert (message.channel, message.note) not in open_notes
                open_notes[message.channel, message.note] = (tick, message.velocity)
            elif message.type == "note_off":
                start, velocity = open_notes.pop((message.channel, message.note))
                whole = 4 * file.ticks_per_beat
                found.append(
                    (number, Fraction(start, whole), Fraction(tick - start, whole), message.note, velocity)
                )
        assert not open_notes
    return sorted(found)


def metas(data, kind, track=0):
    return [(tick, message) for tick, message in timed(parse(data).tracks[track]) if message.type == kind]


def tree_score(tree):
    log = ProblemLog("f")
    found = read_text_score(dump_score(tree), log)
    assert found is not None, [str(problem) for problem in log.in_order()]
    return found


def sung_score(tree):
    """The score of a tree of one part, for a tenor: written as for a guitar, with no strings to choose."""
    return tree_score(tree | {"instrument": "voice-tenor"})


def back(data, **wish):
    return tree_score(read_midi(data, **wish)[0])


def made(*tracks, division=480, form=1):
    """A file of messages (tick, status, data, meta)."""
    data = encode([[Message(*row) for row in track] for track in tracks], division)
    return data[:8] + form.to_bytes(2, "big") + data[10:]


def note(start, stop, pitch, channel=0, velocity=80):
    return [(start, 0x90 | channel, bytes((pitch, velocity))), (stop, 0x80 | channel, bytes((pitch, 0)))]


def onsets(found):
    return sorted((n.start, n.midi) for n in perform(found).notes)


def wheel_moves(found):
    return [(t, m.pitch) for t, m in timed(parse(write_midi(found)).tracks[1]) if m.type == "pitchwheel"]


def named(name, *rows):
    return [(0, META, name.encode(), 3), *rows]


@st.composite
def music(draw):
    """Measures of 4/4 with chords, rests and triplets, as a score's text; onsets on sixteenths or triplets."""
    event = st.sampled_from(
        ["rest", "{1: 3}", "{2: 1, 1: 0}", "{3: 0}", "{6: 3, 2: 3}", "{5: 12}", "{4: 7, 3: 5, 2: 8}"]
    )
    measures = []
    for _ in range(draw(st.integers(1, 4))):
        beats = []
        for _ in range(4):
            kind = draw(st.sampled_from(["1/4", "1/8", "1/16", "3 in 2 of 1/8"]))
            count = {"1/4": 1, "1/8": 2, "1/16": 4}.get(kind, 3)
            beats.append(f"{kind}: [{', '.join(draw(st.lists(event, min_size=count, max_size=count)))}]")
        measures.append("{notes: [" + ", ".join(beats) + "]}")
    key = draw(st.sampled_from(["C major", "F# minor", "Cb major", "D dorian"]))
    return score("{notes: [1/1: {1: 0}]}", *measures, head=f"key: {key}\n")


def still_fine(data, **wish):
    """Reads or refuses; what is read is a score."""
    try:
        tree, _ = read_midi(data, **wish)
    except ValueError:
        return
    tree_score(tree)
