"""Which accidentals are printed (common practice, no source: an accidental holds for its place to the end of the measure)."""

from engrave.theory.accidentals import Accidental, AccidentalMemory
from engrave.theory.key import parse_key
from engrave.theory.pitch import parse_pitch


def read(key, *measures):
    """For each note: sign, with ? for a courtesy; a leading ~ marks a tied note."""
    memory = AccidentalMemory()
    result = []
    for measure in measures:
        memory.start_measure(parse_key(key))
        for name in measure.split():
            sign, courtesy = memory.decide(parse_pitch(name.lstrip("~")), name.startswith("~"))
            result.append((sign.name.lower() if sign else "-") + ("?" if courtesy else ""))
    return " ".join(result)


def test_notes_of_the_key_have_none():
    assert read("D major", "D4 E4 F#4 G4 A4 B4 C#5") == "- - - - - - -"


def test_a_sign_holds_to_the_end_of_the_bar():
    assert read("C major", "F#4 F#4 F4 F4") == "sharp - natural -"


def test_it_holds_for_its_own_octave_only():
    assert read("C major", "F#4 F5") == "sharp natural?"
    assert read("C major", "F#4 F#5") == "sharp sharp"


def test_a_tie_carries_it_over_the_barline_without_a_sign():
    assert read("C major", "F#4", "~F#4 F#4") == "sharp - sharp"


def test_the_next_bar_gets_a_courtesy_sign():
    assert read("C major", "F#4", "F4 F4") == "sharp natural? -"
    assert read("C major", "F#4", "F#4") == "sharp sharp"


def test_a_courtesy_is_not_repeated_two_measures_later():
    assert read("C major", "F#4", "G4", "F4") == "sharp - -"


def test_a_double_sharp_goes_to_a_sharp_without_a_natural():  # modern practice
    assert read("C major", "F##4 F#4") == "double_sharp sharp"


def test_glyphs_are_named_as_in_smufl():
    assert Accidental.FLAT.glyph == "accidentalFlat"
    assert Accidental.DOUBLE_SHARP.glyph == "accidentalDoubleSharp"
