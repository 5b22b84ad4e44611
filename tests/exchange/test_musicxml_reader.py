"""MusicXML read into the score language (elements: MusicXML 4.0 reference; safety and corpus: house rules)."""

import pytest

from engrave.exchange.musicxml.reader import Loss, read_musicxml
from engrave.exchange.musicxml.reading.losses import gather_losses
from tests.exchange.musicxml_helpers import (
    FOUR,
    attributes,
    direction,
    fretted,
    load,
    measures,
    note,
    score,
    strings,
)


def whats(losses):
    return [loss.what for loss in losses]


def test_title_credits_key_time_and_pitches():
    head = (
        "<work><work-title>Quay</work-title></work><identification><creator type='composer'>A. Nyone</creator>"
        "<rights>free</rights></identification>"
    )
    tree, losses = load(score(attributes(fifths=1) + FOUR, head=head))
    assert (tree["title"], tree["key"], tree["time"]) == ("Quay", "G major", "4/4")
    assert tree["credits"] == "A. Nyone"
    assert tree["instrument"] == {"preset": "voice", "name": "Song"}
    assert tree["measures"][0]["notes"] == [{"1/4": "C4 D4 E4 F4"}]
    assert losses == []


def test_strings_and_frets_with_tuning_and_capo():
    body = (
        attributes(strings("D2 A2 D3 G3 B3 E4", "<capo>2</capo>"))
        + fretted(1, 0, "E4")
        + fretted(2, 1, "C4", chord=True)
    )
    tree, _ = load(score(body + note("rest", 12, "half", "<dot/>"), name="Guitar"))
    assert tree["tuning"] == ["D2", "A2", "D3", "G3", "B3", "E4"]
    assert tree["capo"] == 2
    assert tree["instrument"] == "guitar"
    assert tree["measures"][0]["notes"] == [{"1/4": "1:0+2:1"}, {"1/2.": "rest"}]


def test_pitches_of_a_fretted_part_without_frets_stay_pitches():
    body = attributes(strings()) + note("E4") + note("rest", 12, "half", "<dot/>")
    tree, _ = load(score(body))
    assert tree["measures"][0]["notes"][0] == {"1/4": "E5"}  # written an octave above sound


def test_transposing_parts_sound_at_concert_pitch():
    transpose = "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>"
    tree, _ = load(score(attributes(transpose, fifths=2) + note("D4", 16, "whole")))
    assert tree["key"] == "C major"
    assert tree["measures"][0]["notes"] == [{"1/1": "C4"}]


def test_a_capo_moves_neither_key_nor_fingered_pitch():
    """The staff shows the fingered shape (the language's own rule)."""
    transpose = "<transpose><diatonic>-6</diatonic><chromatic>-10</chromatic></transpose>"
    head = attributes(strings(capo="<capo>2</capo>") + transpose, fifths=1)
    tree, losses = load(score(head + fretted(1, 2, "F#5", length=16, kind="whole")))
    assert (tree["key"], tree["capo"]) == ("G major", 2)
    assert tree["measures"][0]["notes"] == [{"1/1": "1:2"}]
    assert losses == []


def test_tuplets_in_tuplets():
    def ratio(actual, normal):
        return (
            f"<time-modification><actual-notes>{actual}</actual-notes>"
            f"<normal-notes>{normal}</normal-notes></time-modification>"
        )

    body = attributes(time="2/4").replace(">4</divisions>", ">36</divisions>")
    outer = "".join(note(p, 24, "quarter", ratio(3, 2)) for p in ("C4", "D4"))
    inner = "".join(note(p, 8, "eighth", ratio(9, 4)) for p in ("E4", "F4", "G4"))
    tree, losses = load(score(body + outer + inner))
    nested = {"3 in 2 of 1/8": "E4 F4 G4"}
    assert tree["measures"][0]["notes"] == [{"3 in 2 of 1/4": ["C4", "D4", nested]}]
    assert losses == []


def test_tuplets():
    third = (
        "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>"
    )
    text = score(attributes(time="2/4").replace(">4</divisions>", ">12</divisions>") + "@")
    triplet = "".join(note(p, 4, "eighth", third) for p in ("C4", "D4", "E4"))
    tree, losses = load(text.replace("@", triplet + note("F4", 12)))
    assert tree["measures"][0]["notes"] == [{"3 in 2 of 1/8": "C4 D4 E4"}, {"1/4": "F4"}]
    assert losses == []


def test_ties_of_whole_events_and_of_single_strings():
    start, stop = '<tied type="start"/>', '<tied type="stop"/>'
    text = note("C4", 8, "half", notations=start) + note("C4", 8, "half", notations=stop)
    assert measures(text)[0]["notes"] == [{"1/2": "C4 tie"}]
    first = fretted(1, 3, "G4", notations=start, length=8, kind="half") + fretted(
        2, 0, "B3", chord=True, length=8, kind="half"
    )
    second = fretted(1, 3, "G4", notations=stop, length=8, kind="half") + fretted(
        2, 3, "D4", chord=True, length=8, kind="half"
    )
    found = measures(attributes(strings()) + first + second)
    assert found[0]["notes"] == [{"1/2": "1:3+2:0 1:tie+2:3"}]


def test_grace_notes():
    grace = "<note><grace{}/><pitch><step>B</step><octave>3</octave></pitch><voice>1</voice><type>eighth</type></note>"
    text = grace.format(' slash="yes"') + FOUR
    assert measures(text)[0]["notes"][0] == {"grace 1/8": "B3"}
    assert measures(grace.format("") + FOUR)[0]["notes"][0] == {"appoggiatura 1/8": "B3"}
    assert measures(FOUR + grace.format(""))[0]["notes"][-1] == {"closing-grace 1/8": "B3"}


def test_lyrics_by_verse():
    def sung(pitch, kind, text):
        return note(pitch, inner=f"<lyric number='1'><syllabic>{kind}</syllabic><text>{text}</text></lyric>")

    body = sung("C4", "begin", "lan") + sung("D4", "end", "tern") + note("E4") + sung("F4", "single", "burns")
    assert measures(body)[0]["lyrics"] == "lan-tern ... burns"


@pytest.mark.parametrize(
    ("kind", "degree", "name"),
    [
        ("minor-seventh", "", "F#m7/E"),
        ("half-diminished", "", "F#m7b5/E"),
        ("suspended-fourth", "", "F#sus4/E"),
        (
            "dominant",
            "<degree><degree-value>9</degree-value><degree-alter>1</degree-alter><degree-type>add</degree-type></degree>",
            "F#7#9/E",
        ),
    ],
)
def test_chord_names(kind, degree, name):
    harmony = (
        f"<harmony><root><root-step>F</root-step><root-alter>1</root-alter></root><kind>{kind}</kind>"
        f"<bass><bass-step>E</bass-step></bass>{degree}</harmony>"
    )
    assert measures(note("C4", 8, "half") + harmony + note("C4", 8, "half"))[0]["chord"] == {3: name}


def test_repeats_endings_and_barlines():
    start = '<barline location="left"><repeat direction="forward"/></barline>'
    first = '<barline location="left"><ending number="1" type="start"/></barline>'
    back = '<barline><ending number="1" type="stop"/><repeat direction="backward" times="2"/></barline>'
    second = '<barline location="left"><ending number="2" type="start"/></barline>'
    end = '<barline><bar-style>light-light</bar-style><ending number="2" type="discontinue"/></barline>'
    found = measures(start + FOUR, first + FOUR + back, second + FOUR + end, FOUR)
    assert found[0]["repeat"] == "start"
    assert (found[1]["ending"], found[1]["repeat"]) == (1, "end")
    assert (found[2]["ending"], found[2]["barline"]) == (2, "double")
    assert "ending" not in found[3]


def test_jumps_labels_tempo_text_dynamics():
    tempo = direction("<metronome><beat-unit>quarter</beat-unit><per-minute>96</per-minute></metronome>")
    one = tempo + direction("<segno/>") + direction("<rehearsal>A</rehearsal>") + FOUR
    two = (
        direction("<words>softly</words>")
        + direction("<dynamics><mf/></dynamics>")
        + FOUR
        + direction("<words>Fine</words>")
    )
    three = FOUR + direction("<words>D.S. al Fine</words>")
    tree, losses = load(score(one, two, three))
    found = tree["measures"]
    assert tree["tempo"] == "1/4 = 96"
    assert (found[0]["segno"], found[0]["label"]) == (True, "A")
    assert (found[1]["text"], found[1]["dynamics"], found[1]["fine"]) == ({1: "softly"}, {1: "mf"}, True)
    assert found[2]["go-back"] == "D.S. al Fine"
    assert losses == []


def test_a_jump_that_leads_nowhere_is_a_loss():
    tree, losses = load(score(FOUR + direction("<words>D.S. al Coda</words>")))
    assert "go-back" not in tree["measures"][0]
    assert whats(losses) == ["D.S. al Coda"]


def test_signs_that_last():
    wedge = direction('<wedge type="crescendo"/>') + FOUR
    found = measures(
        wedge + direction('<wedge type="stop"/>'), direction('<octave-shift type="down" size="8"/>') + FOUR
    )
    assert found[0]["spans"] == {1: "crescendo for 1/1"}
    assert found[1]["spans"] == {1: "8va for 1/1"}
    muted = "<technical><other-technical>palm mute</other-technical></technical>"
    found = measures(
        note("C4", 8, "half", notations=muted)
        + note("C4", notations=muted)
        + direction("<words>C VII</words>")
        + note("C4")
    )
    assert found[0]["spans"] == {1: "palm-mute for 3/4", 4: "barre 7 for 1/4"}


@pytest.mark.parametrize(
    ("element", "mark"),
    [
        ("<articulations><staccato/></articulations>", "staccato"),
        ("<articulations><detached-legato/></articulations>", "tenuto"),
        ("<articulations><strong-accent/></articulations>", "strong-accent"),
        ("<articulations><breath-mark/></articulations>", "breath-mark"),
        ("<articulations><caesura/></articulations>", "caesura"),
        ("<fermata/>", "fermata"),
        ("<technical><down-bow/></technical>", "pick-down"),
        ("<technical><up-bow/></technical>", "pick-up"),
        ("<technical><snap-pizzicato/></technical>", "snap"),
        ("<technical><golpe/></technical>", "golpe"),
        ("<technical><tap/></technical>", "tap"),
        ('<technical><tap hand="left"/></technical>', "left-hand-tap"),
        ("<technical><other-technical>slap</other-technical></technical>", "slap"),
        ('<arpeggiate direction="up"/>', "arpeggiate-up"),
        ("<non-arpeggiate/>", "non-arpeggiate"),
        ("<ornaments><trill-mark/></ornaments>", "trill"),
        ("<ornaments><inverted-mordent/></ornaments>", "inverted-mordent"),
        ("<ornaments><delayed-turn/></ornaments>", "delayed-turn"),
        ('<ornaments><tremolo type="single">1</tremolo></ornaments>', "tremolo-eighths"),
        ('<ornaments><tremolo type="single">3</tremolo></ornaments>', "tremolo"),
    ],
)
def test_marks_of_events(element, mark):
    body = note("C4", notations=element) + note("D4") + note("E4") + note("F4")
    assert measures(body)[0]["notes"][0]["1/4"][0] == f"C4 {mark}"


@pytest.mark.parametrize(
    ("technical", "notations", "value"),
    [
        ('<hammer-on type="stop"/>', "", "3 hammer-on"),
        ('<pull-off type="stop"/>', "", "3 pull-off"),
        ("", '<slide type="stop"/>', "3 slide"),
        ("", "<articulations><scoop/></articulations>", "3 slide-from-below"),
        ("", "<articulations><falloff/></articulations>", "3 slide-away-down"),
        ("", '<ornaments><wavy-line type="start"/></ornaments>', "3 vibrato"),
        ("<harmonic/>", "", "3 pinch-harmonic"),
        ("<harmonic><artificial/></harmonic>", "", "3 artificial-harmonic 15"),
        ("<fingering>3</fingering>", "", "3 finger 3"),
        ("<pluck>i</pluck>", "", "3 i"),
        ("<bend><bend-alter>2</bend-alter></bend>", "", "3 bend full"),
        (
            "<bend><bend-alter>2</bend-alter><pre-bend/></bend><bend><bend-alter>-2</bend-alter><release/></bend>",
            "",
            "3 bend pre full release",
        ),
        ("<other-technical>trill 5</other-technical>", "<ornaments><trill-mark/></ornaments>", "3 trill 5"),
        ("<other-technical>trill 30</other-technical>", "", "3"),
        (
            "<harmonic><natural/></harmonic><other-technical>natural-harmonic 2.7</other-technical>",
            "",
            "2.7 natural-harmonic",
        ),
    ],
)
def test_marks_of_fretted_notes(technical, notations, value):
    body = attributes(strings()) + fretted(2, 3, "D4", technical, notations, length=16, kind="whole")
    assert measures(body)[0]["notes"][0]["1/1"] == f"2:{value}"


def test_ghost_dead_and_natural_harmonic():
    ghost = fretted(2, 3, "D4", inner='<notehead parentheses="yes">normal</notehead>')
    dead = fretted(2, 3, "D4", inner="<notehead>x</notehead>")
    harmonic = fretted(2, 12, "B4", "<harmonic><natural/></harmonic>", length=8, kind="half")
    found = measures(attributes(strings()) + ghost + dead + harmonic)[0]["notes"]
    assert found == [{"1/4": ["2:3 ghost", "2:3 dead"]}, {"1/2": "2:12 natural-harmonic"}]


def test_multiple_rests_and_repeated_measures():
    style = "<attributes><measure-style><multiple-rest>2</multiple-rest></measure-style></attributes>"
    silent = '<note><rest measure="yes"/><duration>16</duration></note>'
    found = measures(FOUR, style + silent, silent, FOUR)
    assert [m.get("multiple-rest") for m in found] == [None, 2, None]
    again = '<attributes><measure-style><measure-repeat type="start">1</measure-repeat></measure-style></attributes>'
    stop = '<attributes><measure-style><measure-repeat type="stop"/></measure-style></attributes>'
    found = measures(FOUR, again + silent, stop + FOUR)
    assert [m.get("measure-repeat") for m in found] == [None, 1, None]


def test_short_measures_are_padded_and_pickups_are_not():
    tree, losses = load(score(FOUR, note("C4"), FOUR))
    assert tree["measures"][1]["notes"] == [{"1/4": "C4 rest"}, {"1/2": "rest"}]
    assert losses == [Loss("filled up with rests", "", "2"), Loss("filled up with rests", "Song", "2")]
    found = measures(note("C4"), FOUR, note("C4", 12, "half", "<dot/>"))
    assert found[0]["pickup"] is True
    assert found[2]["notes"] == [{"1/2.": "C4"}]


def test_too_long_measures_get_a_time_of_their_own():
    found = measures(FOUR + note("G4"), FOUR)
    assert found[1]["time"] == "4/4"


def two_parts():
    text = score(FOUR)
    part = text[text.index('<part id="P1">') : text.index("</score-partwise>")]
    other = '<score-part id="P2"><part-name>Bass</part-name></score-part></part-list>'
    return text.replace("</part-list>", other).replace(part, part + part.replace("P1", "P2"))


@pytest.mark.parametrize("wish", ["Bass", "bass", "P2", "2"])
def test_parts_are_chosen_by_name_id_or_number(wish):
    assert [p["id"] for p in load(two_parts())[0]["parts"]] == ["song", "bass"]
    assert load(two_parts(), [wish])[0]["instrument"]["name"] == "Bass"


def test_an_unknown_part_is_named_with_those_there_are():
    with pytest.raises(ValueError, match=r'no part "Oboe"; it has: 1 Song, 2 Bass'):
        read_musicxml(two_parts().encode(), ["Oboe"])


def test_losses_of_a_kind_are_told_together():
    found = [
        Loss("slur", "Flute", "1"), Loss("slur", "Flute", "2"), Loss("slur", "Oboe", "2"),
        Loss("2 notes: a third voice", "Oboe", "4"), Loss("1 note: a third voice", "Oboe", "5"),
        Loss("filled up with rests", "", "9a"),
    ]  # fmt: skip
    assert gather_losses(found) == [
        ("left out: slur", "Flute, measures 1-2"), ("left out: slur", "Oboe, measure 2"),
        ("3 notes left out: a third voice", "Oboe, measures 4-5"), ("filled up with rests", "measure 9a"),
    ]  # fmt: skip


def test_a_tempo_on_the_first_beat_is_the_measures_and_a_later_one_stands_as_words():
    mark = "<metronome><beat-unit>quarter</beat-unit><per-minute>100</per-minute></metronome>"
    after_a_rest = note("rest", 2, "eighth") + direction(
        f"<words>Tempo di marcia</words></direction-type><direction-type>{mark}"
    )
    eighths = note("C4", 2, "eighth") + note("D4") + note("E4")
    later = direction(f"<words>Slower</words></direction-type><direction-type>{mark}")
    tree = load(
        score(after_a_rest + eighths + note("F4"), note("C4", 8, "half") + later + note("D4", 8, "half"))
    )[0]
    assert tree["tempo"] == "Tempo di marcia, 1/4 = 100"
    assert tree["measures"][1]["text"] == {3: "Slower"}


def test_two_staves_of_one_part_stand_in_a_brace_with_its_name():
    two = attributes("<staves>2</staves>")
    upper = note("C5", 16, "whole", inner="<staff>1</staff>")
    lower = note("C3", 16, "whole", voice=5, inner="<staff>2</staff>")
    back = "<backup><duration>16</duration></backup>"
    tree = load(score(two + upper + back + lower, name="Piano"))[0]
    assert [part.get("brace") for part in tree["parts"]] == ["Piano", "Piano"]
