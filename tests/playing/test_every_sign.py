"""Every sign of the language changes what is heard, or it says how a hand works, or it is told that it is not heard."""

import pytest

np = pytest.importorskip("numpy")

from engrave.exchange.midi.writer import write_midi  # noqa: E402
from engrave.playing.performance import perform  # noqa: E402
from engrave.playing.sound_file import render_wav  # noqa: E402
from engrave.playing.unheard import HAND_ONLY, UNHEARD, UNHEARD_IN_MIDI, find_unheard  # noqa: E402
from engrave.score.sign_list import EXPLAINED_SIGNS, SIGNS, Carrier  # noqa: E402
from tests.reading.helpers import read  # noqa: E402

AMOUNTS = {
    "bend": "bend: full", "vibrato-bar": "vibrato-bar: dip 1/2", "artificial-harmonic": "artificial-harmonic: 19",
    "tapped-harmonic": "tapped-harmonic: 19", "touched-harmonic": "touched-harmonic: 12", "pluck": "pluck: i", "finger": "finger: 3",
}  # fmt: skip
NUMBERED = ("position", "barre", "half-barre")


def score(first, second, spans=""):
    return read(
        f"score: 1\nmeasures:\n  - {{{spans}notes: [1/4: [{{1: 5, 2: 5}}, {{{first}}}], 1/2: {{{second}}}]}}\n"
    )


PLAIN = score("2: 7", "1: 7, 2: 8")


def with_sign(name):
    """The plain score with one sign, where it changes something."""
    if SIGNS[name].carrier is Carrier.SPAN:
        wish = f"{name}{' 5' if name in NUMBERED else ''} for 1/2"
        return score("2: 7", "1: 7, 2: 8", f"spans: {{1: {wish}}}, ")
    if name in AMOUNTS:
        return score(f"2: {{fret: 7, {AMOUNTS[name]}}}", "1: 7, 2: 8")
    if name.startswith(("arpeggiate", "strum", "rake", "non-")):
        return score("2: 7", f"1: 7 {name}, 2: 8")
    if name == "slur":
        return score("2: 7 slur", "1: 7, 2: 8 end-slur")
    return score(f"2: 7 {name}", "1: 7, 2: 8")


KEYLESS = sorted(set(EXPLAINED_SIGNS) - {"accidental-mark"})
"""All that can be written: the accidental over a trill comes from its upper note, and the words of slurs are one sign."""


@pytest.mark.parametrize("name", KEYLESS)
def test_every_sign_is_heard_in_midi_or_told_or_moves_the_hand_only(name):
    is_heard = write_midi(with_sign(name)) != write_midi(PLAIN)
    assert is_heard == (name not in HAND_ONLY | UNHEARD_IN_MIDI)


@pytest.mark.parametrize("name", KEYLESS)
def test_every_sign_is_heard_in_sound_or_told_or_moves_the_hand_only(name):
    is_heard = render_wav(perform(with_sign(name))) != render_wav(perform(PLAIN))
    assert is_heard == (name not in HAND_ONLY | UNHEARD)


@pytest.mark.parametrize("name", sorted(UNHEARD_IN_MIDI))
def test_what_is_not_heard_is_told_with_its_part_and_measures(name):
    (told,) = find_unheard(with_sign(name), 0, 1, UNHEARD_IN_MIDI)
    assert (told.what, told.part, told.measures) == (f"{name} is not heard", "Guitar", ("1",))
    assert find_unheard(PLAIN, 0, 1, UNHEARD_IN_MIDI) == []


def test_words_without_a_number_and_slashes_without_a_shape_are_told():
    found = read("score: 1\nmeasures:\n  - {tempo: Slower, notes: [1/1: slash]}\n")
    words, slashes = find_unheard(found, 0, 1, UNHEARD)
    assert "Slower" in words.what
    assert "slashes" in slashes.what
