"""Staff positions and ledger lines. Values computed from E4 and G2 on the bottom lines."""

import music21
import pytest

from engrave.theory.clef import Clef, ledger_positions, staff_position
from engrave.theory.pitch import Pitch, parse_pitch


@pytest.mark.parametrize(
    ("name", "clef", "position", "ledgers"),
    [
        ("E3", Clef.OCTAVE_TREBLE, -7, 3),
        ("A3", Clef.TREBLE, -4, 2),
        ("D4", Clef.TREBLE, -1, 0),
        ("C4", Clef.TREBLE, -2, 1),
        ("G4", Clef.TREBLE, 2, 0),
        ("B4", Clef.TREBLE, 4, 0),
        ("E5", Clef.TREBLE, 7, 0),
        ("A5", Clef.TREBLE, 10, 1),
        ("E7", Clef.TREBLE, 21, 6),
        ("E2", Clef.BASS, -2, 1),
        ("B1", Clef.BASS, -5, 2),
        ("G3", Clef.BASS, 7, 0),
        ("C4", Clef.OCTAVE_BASS, 10, 1),
    ],
)
def test_positions_and_ledger_lines(name, clef, position, ledgers):
    assert staff_position(parse_pitch(name), clef) == position
    assert len(ledger_positions(position)) == ledgers


@pytest.mark.parametrize(
    ("clef", "other"),
    [
        (Clef.TREBLE, music21.clef.TrebleClef()),
        (Clef.BASS, music21.clef.BassClef()),
        (Clef.ALTO, music21.clef.AltoClef()),
        (Clef.TENOR, music21.clef.TenorClef()),
    ],
)
def test_bottom_lines_agree_with_music21(clef, other):
    pitch = music21.pitch.Pitch()
    pitch.diatonicNoteNum = other.lowestLine
    assert staff_position(Pitch("CDEFGAB".index(pitch.step), 0, pitch.octave), clef) == 0


def test_ledger_lines_are_even_and_nearest_first():
    assert ledger_positions(13) == (10, 12)
    assert ledger_positions(-7) == (-2, -4, -6)
    assert ledger_positions(9) == ledger_positions(-1) == ()
