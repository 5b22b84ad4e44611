"""Lead sheets: one staff with the tune, its chords and its words, at the pitch that sounds (common practice, no source)."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.marks.role import Role
from engrave.problems import NOWHERE
from engrave.reading.load import load_score
from engrave.resources import data_folder
from engrave.score.excerpt import excerpt
from engrave.score.lead_sheet import as_lead_sheet
from engrave.score.melody import PLAIN_SIGNS
from engrave.score.seen import find_tune, seen_in
from engrave.score.structure import Grids, View
from engrave.score.techniques import Trill, TrillAccidental
from engrave.score.used_signs import used_signs
from tests.layout.placed_marks import boxes, place_text
from tests.layout.test_random_scores import scores
from tests.reading.helpers import read

SAMPLES = sorted((data_folder() / "samples").glob("*.yaml"))
HANDS = (
    Role.FRET,
    Role.TAB_LINE,
    Role.FINGER,
    Role.BEND_ARROW,
    Role.BEND_AMOUNT,
    Role.SLIDE,
    Role.VIBRATO,
    Role.TECHNIQUE_LETTER,
    Role.ARPEGGIO,
    Role.GRID_LINE,
    Role.SLUR,
    Role.PART_NAME,
    Role.TUNING_TEXT,
    Role.COUNTING,
    Role.TREMOLO,
    Role.VIBRATO_BAR,
)


def sheet(notes, head="", extra=""):
    return as_lead_sheet(read(f"score: 1\n{head}measures:\n  - notes: {notes}\n{extra}"))


def tune(score):
    """The pitches of each event of the tune, as text; "" for a rest, ~ after a note that is tied on."""
    return [
        " ".join(note.pitch.name + "~" * note.tie_to for note in event.notes)
        for content in score.parts[0].measures
        for voice in content.voices
        for event in voice.events
    ]


def chords(score):
    return [
        [(str(chord.onset), chord.name.text) for chord in content.chords]
        for content in score.parts[0].measures
    ]


BAND = """score: 1
key: {key}
parts:
  - {{id: strum, name: Strum, instrument: guitar, capo: {strum}}}
  - {{id: pick, name: Pick, instrument: guitar, capo: {pick}}}
  - {{id: sung, name: Sung, instrument: voice}}
measures:
  - parts:
      strum: {{chord: {{1: G, 3.5: D7/F#}}, notes: [1/4: [slash, slash, slash, slash]]}}
      pick: {{notes: [1/8: [{{6: 3}}, {{3: 0}}, {{2: 0}}, {{3: 0}}], 1/2: {{2: 3}}]{pick_words}}}
      sung: {{notes: [1/1: {sung}]{sung_words}}}
  - parts: {{strum: {{measure-repeat: 1}}}}
"""


def band(key="G major", strum=0, pick=0, pick_words="", sung="B4", sung_words=""):
    return read(BAND.format(**locals()))


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ({"pick_words": ", lyrics: la", "sung_words": ", lyrics: la"}, "pick"),  # the first with words
        ({"sung_words": ", lyrics: la"}, "sung"),
        ({}, "sung"),  # no words: the first voice
        (
            {"sung": "rest"},
            "pick",
        ),  # a voice that rests: the first part that plays notes, and slashes are none
    ],
)
def test_the_tune_is_that_of_the_words_or_the_voice_or_the_first_part(words, part):
    score = band(**words)
    assert score.parts[find_tune(score)].id == part
    (only,) = as_lead_sheet(score).parts
    assert only.id == part


def test_slashes_and_rests_are_no_tune():
    assert find_tune(read("score: 1\nmeasures: [{notes: [1/2: [slash, rest]]}, {chord: G}]\n")) is None


def test_chord_names_of_another_part_stand_over_their_own_beats_and_are_repeated_with_its_measures():
    measure = [("0", "G"), ("5/8", "D7/F#")]
    assert chords(as_lead_sheet(band())) == [measure, measure]


def test_the_tunes_own_chord_names_come_first():
    score = band(sung_words=", chord: Em")
    assert chords(as_lead_sheet(score))[0] == [("0", "Em")]


def test_chord_names_stand_over_the_right_columns_where_no_note_starts():
    text = BAND.format(key="G major", strum=0, pick=0, pick_words="", sung="B4", sung_words="")
    marks = place_text(text.replace("[1/1: B4]", "[1/8: [B4, A4, B4, A4, B4, A4, B4, A4]]"), View.LEAD_SHEET)
    heads = [box.left for box in boxes(marks, Role.NOTEHEAD)]
    names = [box.left for mark, box in marks if mark.role is Role.CHORD_NAME and mark.text in ("G", "D")]
    assert names[0] == pytest.approx(heads[0], abs=0.3)
    assert names[1] == pytest.approx(heads[5], abs=0.3)  # beat 3 1/2


def test_only_the_upper_voice_and_the_highest_note_of_a_chord_are_the_tune():
    score = sheet("[1/2: {1: 0, 2: 1, 3: 0}, 1/2: {2: 3, 4: 0}]", extra="    lower: [1/1: {6: 0}]\n")
    assert tune(score) == ["E5", "D5"]


def test_a_voice_keeps_all_its_notes():
    assert tune(sheet("[1/1: C5+E5]", "instrument: voice\n")) == ["C5 E5"]


@pytest.mark.parametrize(
    ("notes", "expected"),
    [
        ("[1/2: [{2: {fret: 8, bend: full}}, {2: 8}]]", ["A5", "G5"]),
        ("[1/2: [{2: {fret: 8, bend: full release}}, {2: {fret: 8, bend: quarter}}]]", ["G5", "G5"]),
        ("[1/2: {2: {fret: 8, bend: full}}, 1/2: tie]", ["A5~", "A5"]),  # the string stays bent
        ("[1/2: {2: {fret: 8, bend: full}}, 1/2: {2: {fret: tie, bend: release}}]", ["A5", "G5"]),
        ("[1/2: {2: {fret: 8, bend: pre full}}, 1/2: {2: 8}]", ["A5", "G5"]),
        ("[1/1: {1: 12 natural-harmonic}]", ["E6"]),
        ("[1/1: {1: 7 natural-harmonic}]", ["B6"]),  # a twelfth over the open string, written an octave up
        ("[1/2: {2: 5}, 1/2: {2: 7 hammer-on}]", ["E5", "F#5"]),
    ],
)
def test_what_the_hands_do_is_written_as_what_sounds(notes, expected):
    score = sheet(notes)
    assert tune(score) == expected
    notes = [
        note for voice in score.parts[0].measures[0].voices for event in voice.events for note in event.notes
    ]
    assert all((note.string, note.fret, note.techniques, note.sounding) == (0, 0, (), None) for note in notes)


def test_a_tie_whose_note_is_no_longer_the_highest_is_gone():
    score = sheet("[1/2: {1: 0, 2: 1}, 1/2: {2: tie}]")
    assert tune(score) == ["E5", "C5"]
    assert not any(
        note.tie_from for event in score.parts[0].measures[0].voices[0].events for note in event.notes
    )


def test_ties_over_barlines_stay():
    score = sheet("[1/1: {1: 0}]", extra="  - notes: [1/1: tie]\n")
    assert tune(score) == ["E5~", "E5"]


def test_articulation_ornaments_dynamics_and_form_stay_and_the_hands_go():
    score = read(
        "score: 1\nmeasures:\n  - notes: [1/2: {2: {fret: 3, finger: 4, pluck: a, marks: [accent, vibrato]}, 1: 0 trill, 3: 0 fermata}, 1/2: {2: 1 pick-up}]\n"
        "    spans: {1: [palm-mute for 1/2, crescendo for 1/1, position 5 for 1/4]}\n    dynamics: mf\n    label: A\n    repeat: end\n    text: softly\n"
    )
    (content,) = as_lead_sheet(score).parts[0].measures
    first, second = content.voices[0].events
    assert {technique.sign for technique in first.notes[0].techniques} == {
        "accent",
        "trill",
        "fermata",
    }  # signs of the whole chord
    assert not second.notes[0].techniques
    assert [span.name for span in content.spans] == ["crescendo"]
    assert (content.dynamics[0].text, content.texts[0].text) == ("mf", "softly")
    assert as_lead_sheet(score).measures[0].repeat == score.measures[0].repeat


@pytest.mark.parametrize(
    ("key", "capo", "sounding", "note", "chord"),
    [
        ("G major", 2, "A major", "F#5", "F#m7/C#"),
        ("E minor", 1, "F minor", "F5", "Fm7/C"),
        ("C major", 5, "F major", "A5", "Am7/E"),
        ("E major", 4, "Ab major", "Ab5", "Abm7/Eb"),
    ],
)
def test_with_a_capo_everything_is_written_as_it_sounds(key, capo, sounding, note, chord):
    """Counted by hand on the circle of fifths; keys with the fewest signs."""
    score = sheet("[1/1: {1: 0}]", f"key: {key}\ncapo: {capo}\ntuning: drop D\n", "    chord: Em7/B\n")
    assert score.measures[0].key.name == sounding
    assert tune(score) == [note]
    assert chords(score) == [[("0", chord)]]
    assert score.parts[0].instrument.capo == 0
    assert not score.parts[0].is_fretted


@pytest.mark.parametrize(
    ("key", "capo", "named"),
    [("A major", 2, ["A", "E7/G#"]), ("Bb major", 3, ["Bb", "F7/A"]), ("G major", 0, ["G", "D7/F#"])],
)
def test_chord_names_over_a_capo_of_another_part_are_those_that_sound(key, capo, named):
    """Someone sings at pitch while the guitar plays shapes of G: a capo at fret 2 makes them A, one at fret 3 B flat."""
    score = as_lead_sheet(band(key=key, strum=capo, sung_words=", lyrics: la"))
    assert [name for _, name in chords(score)[0]] == named
    assert score.measures[0].key.name == key
    assert tune(score)[0] == "B4"


def test_the_accidental_of_a_trill_follows_the_key():
    """A to B natural in F major needs a natural; two semitones up it is B to C sharp in G major, and needs a sharp."""
    plain = sheet("[1/1: {3: {fret: 2, trill: 4}}]", "key: F major\n")
    moved = sheet("[1/1: {3: {fret: 2, trill: 4}}]", "key: F major\ncapo: 2\n")
    (note,) = plain.parts[0].measures[0].voices[0].events[0].notes
    assert [t._replace(location=NOWHERE) for t in note.techniques] == [Trill(4), TrillAccidental(0)]
    assert moved.measures[0].key.name == "G major"
    (note,) = moved.parts[0].measures[0].voices[0].events[0].notes
    assert TrillAccidental(1) in [t._replace(location=NOWHERE) for t in note.techniques]


@pytest.mark.parametrize(
    ("head", "grids"), [("grids: top\n", True), ("grids: above\n", False), ("grids: top\ncapo: 3\n", False)]
)
def test_chord_grids_are_printed_at_the_head_where_they_are_asked_for(head, grids):
    text = f"score: 1\n{head}shapes: {{G: 3 2 0 0 0 3}}\nmeasures: [{{chord: G, notes: [1/1: {{1: 3}}]}}]\n"
    assert bool(boxes(place_text(text, View.LEAD_SHEET), Role.GRID_LINE)) is grids


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_the_page_has_one_staff_and_nothing_for_the_hands(sample):
    marks = place_text(sample.read_text("utf-8"), View.LEAD_SHEET)
    score = load_score(str(sample))[0]
    hands = [role for role in HANDS if role is not Role.SLUR or "slur" not in used_signs(score)]
    if score.grids is Grids.TOP:  # asked for at the head
        hands = [role for role in hands if not role.value.startswith("grid")]
    assert not boxes(marks, *hands)
    starts = [
        box for mark, box in marks if mark.role is Role.CLEF and box.left < 1
    ]  # others change within a line
    assert len(boxes(marks, Role.STAFF_LINE)) == 5 * len(starts)
    if any(content.chords for part in score.parts for content in part.measures):
        assert boxes(marks, Role.CHORD_NAME)


def test_every_verse_and_every_sign_of_the_form_is_printed():
    text = """score: 1
tempo: Slowly, 1/4 = 60
measures:
  - {label: A, segno: true, repeat: start, notes: [1/1: {1: 0}], lyrics: {1: one, 2: two}}
  - {to-coda: true, repeat: end, times: 3, notes: [1/1: {1: 0}]}
  - {go-back: D.S. al Coda, notes: [1/1: {1: 0}]}
  - {coda: true, notes: [1/1: {1: 0}]}
"""
    marks = place_text(text, View.LEAD_SHEET)
    assert [mark.text for mark, _ in marks if mark.role is Role.LYRIC] == ["one", "two"]
    assert len(boxes(marks, Role.ROADMAP)) >= 4  # segno, to coda (words and sign), D.S. al Coda, coda
    for role in (Role.LABEL, Role.TEMPO, Role.REPEAT_COUNT, Role.REPEAT_DOT):
        assert boxes(marks, role), role


@settings(max_examples=40)
@given(scores(), st.integers(0, 7))
def test_a_lead_sheet_of_a_lead_sheet_is_itself(text, capo):
    once = as_lead_sheet(read(text.replace("counting", f"capo: {capo}\ncounting", 1)))
    assert as_lead_sheet(once) == once
    assert len(once.parts) == 1
    assert once.view is View.LEAD_SHEET


@settings(max_examples=40)
@given(scores())
def test_a_lead_sheet_lasts_as_long_and_carries_only_plain_signs(text):
    whole = read(text)
    score = as_lead_sheet(whole)
    for before, after in zip(whole.parts[0].measures, score.parts[0].measures, strict=True):
        (voice,) = after.voices
        assert [(e.onset, e.length, e.lyrics) for e in before.voices[0].events] == [
            (e.onset, e.length, e.lyrics) for e in voice.events
        ]
        assert all(len(event.notes) <= 1 for event in voice.events)
        assert {sign for event in voice.events for sign in event.signs} <= PLAIN_SIGNS


def test_other_views_show_the_whole_score():
    score = read("score: 1\nview: lead-sheet\nmeasures: [{notes: [1/1: {1: 0, 2: 1}]}]\n")
    assert seen_in(score, View.TAB) is score
    assert seen_in(score, None) == as_lead_sheet(score)


def test_the_tune_of_an_excerpt_in_which_it_rests_is_still_the_tune():
    score = as_lead_sheet(band(sung_words=", lyrics: la"))
    silent = excerpt(score, 1, 2)
    assert as_lead_sheet(silent) == silent
