"""MusicXML read into the score language (elements: MusicXML 4.0 reference; safety and corpus: house rules)."""

import io
import re
import time
import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.diagnostics.problem import ProblemLog
from engrave.exchange.musicxml.reader import Loss, read_musicxml
from engrave.reading.load import read_text_score
from engrave.writing.dump import dump_score

GUITAR = "E2 A2 D3 G3 B3 E4"
SECONDS_PER_FILE = 60
"""What one file of the corpus may take, on a slow machine."""


def note(pitch="C4", length=4, kind="quarter", inner="", notations="", chord=False, voice=1):
    """A note; `length` in sixteenths."""
    alter = f"<alter>{pitch.count('#') - pitch.count('b')}</alter>" if len(pitch) > 2 else ""
    what = (
        "<rest/>"
        if pitch == "rest"
        else f"<pitch><step>{pitch[0]}</step>{alter}<octave>{pitch[-1]}</octave></pitch>"
    )
    marks = f"<notations>{notations}</notations>" if notations else ""
    return (
        f"<note>{'<chord/>' if chord else ''}{what}<duration>{length}</duration><voice>{voice}</voice>"
        f"<type>{kind}</type>{inner}{marks}</note>"
    )


def fretted(string, fret, pitch, more="", notations="", **keys):
    technical = f"<technical><string>{string}</string><fret>{fret}</fret>{more}</technical>{notations}"
    return note(pitch, notations=technical, **keys)


def attributes(inner="", time="4/4", fifths=0):
    beats, unit = time.split("/")
    return (
        f"<attributes><divisions>4</divisions><key><fifths>{fifths}</fifths></key>"
        f"<time><beats>{beats}</beats><beat-type>{unit}</beat-type></time>{inner}</attributes>"
    )


def strings(tuning=GUITAR, capo=""):
    rows = "".join(
        f'<staff-tuning line="{i}"><tuning-step>{p[0]}</tuning-step><tuning-octave>{p[1]}</tuning-octave></staff-tuning>'
        for i, p in enumerate(tuning.split(), 1)
    )
    return f"<clef><sign>TAB</sign></clef><staff-details>{rows}{capo}</staff-details>"


def score(*measures, head="", name="Song"):
    """A file of one part; the first measure gets the usual attributes unless it has its own."""
    body = "".join(
        f'<measure number="{i}">{attributes() if i == 1 and "<attributes>" not in m else ""}{m}</measure>'
        for i, m in enumerate(measures, 1)
    )
    return (
        f'<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0">{head}<part-list>'
        f'<score-part id="P1"><part-name>{name}</part-name></score-part></part-list>'
        f'<part id="P1">{body}</part></score-partwise>'
    )


def load(text, wanted=()):
    """The tree and losses of a text; the tree must be a right score."""
    tree, losses = read_musicxml(text.encode() if isinstance(text, str) else text, wanted)
    log = ProblemLog("f")
    assert read_text_score(dump_score(tree), log) is not None, [str(p) for p in log.in_order()]
    return tree, losses


def measures(*bodies, **keys):
    return load(score(*bodies, **keys))[0]["measures"]


def whats(losses):
    return [loss.what for loss in losses]


FOUR = note("C4") + note("D4") + note("E4") + note("F4")


def test_title_credits_key_time_and_pitches():
    head = (
        "<work><work-title>Quay</work-title></work><identification><creator type='composer'>A. Nyone</creator>"
        "<rights>free</rights></identification>"
    )
    tree, losses = load(score(attributes(fifths=1) + FOUR, head=head))
    assert (tree["title"], tree["key"], tree["time"]) == ("Quay", "G major", "4/4")
    assert tree["credits"] == {"music": "A. Nyone"}
    assert tree["instrument"] == {"preset": "voice", "name": "Song"}
    assert tree["measures"][0]["notes"] == [{"1/4": ["C4", "D4", "E4", "F4"]}]
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
    assert tree["measures"][0]["notes"] == [{"1/4": {1: 0, 2: 1}}, {"1/2.": "rest"}]


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
    assert tree["measures"][0]["notes"] == [{"1/1": {1: 2}}]
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
    nested = {"3 in 2 of 1/8": [{"1/8": ["E4", "F4", "G4"]}]}
    assert tree["measures"][0]["notes"] == [{"3 in 2 of 1/4": [{"1/4": ["C4", "D4"]}, nested]}]
    assert losses == []


def test_two_voices_and_a_third_that_is_lost():
    rows = "".join(
        note(p, 16, "whole", voice=v) + "<backup><duration>16</duration></backup>"
        for v, p in ((1, "G4"), (2, "C4"), (3, "E4"))
    )
    tree, losses = load(score(rows))
    assert tree["measures"][0]["notes"] == [{"1/1": "G4"}]
    assert tree["measures"][0]["bass"] == [{"1/1": "C4"}]
    assert losses == [Loss("1 note: a third voice", "Song", "1")]


def test_tuplets():
    third = (
        "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>"
    )
    text = score(attributes(time="2/4").replace(">4</divisions>", ">12</divisions>") + "@")
    triplet = "".join(note(p, 4, "eighth", third) for p in ("C4", "D4", "E4"))
    tree, losses = load(text.replace("@", triplet + note("F4", 12)))
    assert tree["measures"][0]["notes"] == [{"3 in 2 of 1/8": [{"1/8": ["C4", "D4", "E4"]}]}, {"1/4": "F4"}]
    assert losses == []


def test_ties_of_whole_events_and_of_single_strings():
    start, stop = '<tied type="start"/>', '<tied type="stop"/>'
    text = note("C4", 8, "half", notations=start) + note("C4", 8, "half", notations=stop)
    assert measures(text)[0]["notes"] == [{"1/2": ["C4", "tie"]}]
    first = fretted(1, 3, "G4", notations=start, length=8, kind="half") + fretted(
        2, 0, "B3", chord=True, length=8, kind="half"
    )
    second = fretted(1, 3, "G4", notations=stop, length=8, kind="half") + fretted(
        2, 3, "D4", chord=True, length=8, kind="half"
    )
    found = measures(attributes(strings()) + first + second)
    assert found[0]["notes"] == [{"1/2": [{1: 3, 2: 0}, {1: "tie", 2: 3}]}]


def test_grace_notes():
    grace = "<note><grace{}/><pitch><step>B</step><octave>3</octave></pitch><voice>1</voice><type>eighth</type></note>"
    text = grace.format(' slash="yes"') + FOUR
    assert measures(text)[0]["notes"][0] == {"grace 1/8": "B3"}
    assert measures(grace.format("") + FOUR)[0]["notes"][0] == {"appoggiatura 1/8": "B3"}
    assert measures(FOUR + grace.format(""))[0]["notes"][-1] == {"after-grace 1/8": "B3"}


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


def direction(inner, sound=""):
    return f"<direction><direction-type>{inner}</direction-type>{sound}</direction>"


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
    assert found[2]["jump"] == "D.S. al Fine"
    assert losses == []


def test_a_jump_that_leads_nowhere_is_a_loss():
    tree, losses = load(score(FOUR + direction("<words>D.S. al Coda</words>")))
    assert "jump" not in tree["measures"][0]
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
    assert measures(body)[0]["notes"][0]["1/4"][0] == {"pitch": "C4", "marks": [mark]}


@pytest.mark.parametrize(
    ("technical", "notations", "value"),
    [
        ('<hammer-on type="stop"/>', "", "3 hammer-on"),
        ('<pull-off type="stop"/>', "", "3 pull-off"),
        ("", '<slide type="stop"/>', "3 slide"),
        ("", '<slide type="stop"/><slur type="stop"/>', "3 legato-slide"),
        ("", "<articulations><scoop/></articulations>", "3 slide-in-below"),
        ("", "<articulations><falloff/></articulations>", "3 slide-out-down"),
        ("", '<ornaments><wavy-line type="start"/></ornaments>', "3 vibrato"),
        ("<harmonic/>", "", "3 pinch-harmonic"),
        ("<harmonic><artificial/></harmonic>", "", {"fret": 3, "artificial-harmonic": 15}),
        ("<fingering>3</fingering>", "", {"fret": 3, "finger": 3}),
        ("<pluck>i</pluck>", "", {"fret": 3, "pluck": "i"}),
        ("<bend><bend-alter>2</bend-alter></bend>", "", {"fret": 3, "bend": "full"}),
        (
            "<bend><bend-alter>2</bend-alter><pre-bend/></bend><bend><bend-alter>-2</bend-alter><release/></bend>",
            "",
            {"fret": 3, "bend": "pre full release"},
        ),
    ],
)
def test_marks_of_fretted_notes(technical, notations, value):
    body = attributes(strings()) + fretted(2, 3, "D4", technical, notations, length=16, kind="whole")
    assert measures(body)[0]["notes"][0]["1/1"][2] == value


def test_ghost_dead_and_natural_harmonic():
    ghost = fretted(2, 3, "D4", inner='<notehead parentheses="yes">normal</notehead>')
    dead = fretted(2, 3, "D4", inner="<notehead>x</notehead>")
    harmonic = fretted(2, 12, "B4", "<harmonic><natural/></harmonic>", length=8, kind="half")
    found = measures(attributes(strings()) + ghost + dead + harmonic)[0]["notes"]
    assert found == [{"1/4": [{2: "3 ghost"}, {2: "x"}]}, {"1/2": {2: "12 natural-harmonic"}}]


def test_multiple_rests_and_repeated_measures():
    style = "<attributes><measure-style><multiple-rest>2</multiple-rest></measure-style></attributes>"
    silent = '<note><rest measure="yes"/><duration>16</duration></note>'
    found = measures(FOUR, style + silent, silent, FOUR)
    assert [m.get("multiple-rest") for m in found] == [None, 2, None]
    again = '<attributes><measure-style><measure-repeat type="start">1</measure-repeat></measure-style></attributes>'
    stop = '<attributes><measure-style><measure-repeat type="stop"/></measure-style></attributes>'
    found = measures(FOUR, again + silent, stop + FOUR)
    assert [m.get("measure-repeat") for m in found] == [None, 1, None]


def test_short_bars_are_padded_and_pickups_are_not():
    tree, losses = load(score(FOUR, note("C4"), FOUR))
    assert tree["measures"][1]["notes"] == [{"1/4": "C4"}, {"1/2.": "rest"}]
    assert losses == [Loss("padded", "", "2"), Loss("padded", "Song", "2")]
    found = measures(note("C4"), FOUR, note("C4", 12, "half", "<dot/>"))
    assert found[0]["pickup"] is True
    assert found[2]["notes"] == [{"1/2.": "C4"}]


def test_too_long_bars_get_a_time_of_their_own():
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


def test_timewise_files_are_turned_round():
    text = score(FOUR, FOUR).replace("score-partwise", "score-timewise")
    text = text.replace('<part id="P1">', "").replace("</part></score", "</score")
    text = text.replace("</measure>", "</part></measure>")
    text = re.sub(r'(<measure number="\d">)', r'\1<part id="P1">', text)
    assert len(load(text)[0]["measures"]) == 2


@pytest.mark.parametrize("encoding", ["UTF-8", "UTF-16", "ISO-8859-1"])
def test_encodings(encoding):
    head = "<work><work-title>Möwe</work-title></work>"
    text = score(FOUR, head=head).replace("UTF-8", encoding)
    assert load(text.encode(encoding))[0]["title"] == "Möwe"


def packed(text, path="score.xml", container=None, extra=()):
    """A compressed file."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        names = f'<container><rootfiles><rootfile full-path="{path}"/></rootfiles></container>'
        archive.writestr("META-INF/container.xml", container or names)
        archive.writestr(path, text)
        for name in extra:
            archive.writestr(name, "x")
    return target.getvalue()


def test_compressed_files():
    assert load(packed(score(FOUR)))[0]["measures"]


BOMB = '<!DOCTYPE a [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]><score-partwise>&b;</score-partwise>'
OUTSIDE = '<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]><score-partwise>&x;</score-partwise>'


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "empty|well-formed"),
        (b"hello", "well-formed"),
        (b"<html/>", "no MusicXML"),
        (b"<score-partwise/>", "no parts"),
        (b'<score-partwise><part id="a"/></score-partwise>', "no measures"),
        (BOMB.encode(), "entities"),
        (OUTSIDE.encode(), "entities"),
        (b"<a>" * 100_000, "nested"),
        (score(FOUR).encode()[:-30], "well-formed"),
        (packed(score(FOUR))[:200], "unpacked|damaged"),
        (packed("<a>" + " " * 80_000_000 + "</a>"), "zip bomb"),
        (packed(score(FOUR), extra=("../../evil.xml",)), "unsafe name"),
        (packed(score(FOUR), extra=("/etc/evil.xml",)), "unsafe name"),
        (packed(score(FOUR), container="<container/>"), "does not hold"),
        (b"<?xml version='1.0' encoding='klingon'?><a/>", "encoding|well-formed"),
        (b"PK\x03\x04 not really a zip file", "unpacked|damaged"),
    ],
    ids=lambda value: None if isinstance(value, bytes) else value,
)
def test_wrong_files_are_refused_with_a_sentence(data, why):
    with pytest.raises(ValueError, match=why):
        read_musicxml(data)


def survives(data):
    try:
        tree, _ = read_musicxml(data)
    except ValueError:
        return
    log = ProblemLog("f")
    assert read_text_score(dump_score(tree), log) is not None, [str(p) for p in log.in_order()]


@given(st.binary(max_size=300))
def test_random_bytes_never_crash(data):
    survives(data)
    survives(b"PK\x03\x04" + data)


RICH = score(
    attributes(strings(capo="<capo>1</capo>"))
    + direction('<wedge type="crescendo"/>')
    + fretted(1, 3, "G4", '<hammer-on type="stop"/>', '<tied type="start"/>')
    + fretted(2, 1, "C4", "<bend><bend-alter>2</bend-alter></bend>", chord=True)
    + fretted(1, 3, "G4", notations='<tied type="stop"/>')
    + note("E4", 8, "half", inner="<lyric number='1'><syllabic>begin</syllabic><text>a</text></lyric>")
    + "<backup><duration>16</duration></backup>"
    + note("E2", 16, "whole", voice=2),
    "<harmony><root><root-step>G</root-step></root><kind>dominant</kind></harmony>"
    + FOUR
    + '<barline><bar-style>light-heavy</bar-style><ending number="1" type="start"/><repeat direction="backward"/></barline>',
    direction("<words>D.C.</words>") + FOUR,
)
PIECES = re.findall(r"<[^>]+>|[^<]+", RICH)


@settings(max_examples=150)
@given(st.data())
def test_mutated_files_give_a_right_score_or_a_clear_refusal(data):
    pieces = list(PIECES)
    for _ in range(data.draw(st.integers(1, 4))):
        index = data.draw(st.integers(3, len(pieces) - 1))
        kind = data.draw(st.sampled_from(["drop", "number", "copy", "swap"]))
        if kind == "drop" and not pieces[index].startswith("<"):
            pieces[index] = ""
        elif kind == "number" and not pieces[index].startswith("<"):
            values = ["0", "-1", "3", "7", "64", "1e9", "nan", "x", "1/2", "99999999999999999999"]
            pieces[index] = data.draw(st.sampled_from(values))
        elif kind == "copy":
            pieces[index] += pieces[index]
        elif kind == "swap" and not pieces[index].startswith("<"):
            other = data.draw(st.sampled_from([p for p in pieces if not p.startswith("<")] or [""]))
            pieces[index] = other
    survives("".join(pieces).encode())


def corpus():
    music21 = pytest.importorskip("music21")
    folder = Path(music21.__file__).parent / "corpus"
    files = [p for p in folder.rglob("*") if p.suffix in (".xml", ".musicxml", ".mxl")]
    return sorted(files)[::12]


def count_source_notes(data):
    """Notes that are no rests, counted in the text, without the reader's help."""
    if data.startswith(b"PK"):
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = [name for name in archive.namelist() if not name.startswith("META-INF")]
            data = b"".join(archive.read(name) for name in names)
    data = data.replace(b"\0", b"")
    return sum(b"<rest" not in text for text in re.findall(rb"<note[\s>].*?</note>", data, re.DOTALL))


def count_score_notes(found):
    events = [e for p in found.parts for m in p.measures for v in m.voices for e in v.events]
    graces = [g for e in events for side in (e.before, e.after) if side for g in side.events]
    return sum(len(event.notes) for event in events + graces)


def count_lost(losses, unit):
    matches = (re.match(rf"(\d+) {unit}s?: ", loss.what) for loss in losses)
    return sum(int(match.group(1)) for match in matches if match)


def test_every_note_of_a_corpus_is_in_the_score_or_among_the_losses():
    for path in corpus():
        data = path.read_bytes()
        started = time.monotonic()
        tree, losses = read_musicxml(data)
        assert time.monotonic() - started < SECONDS_PER_FILE, path.name
        log = ProblemLog("f")
        found = read_text_score(dump_score(tree), log)
        assert found is not None, (path.name, [str(p) for p in log.in_order()][:5])
        kept = count_score_notes(found) - count_lost(losses, "more head")
        assert kept + count_lost(losses, "note") == count_source_notes(data), path.name
