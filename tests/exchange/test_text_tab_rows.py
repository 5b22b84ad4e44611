"""Words and marks in rows over and under typed tab, and lines at its head, come back the same.

How the rows look: the project's own; see the guide. Scores are compared whole but for where things stand in the text and
the order of marks and spans at one moment, which says nothing.
"""

from dataclasses import fields, is_dataclass
from enum import Enum

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from engrave.exchange.text_tab.reader import read_text_tab
from engrave.exchange.text_tab.writer import write_text_tab
from engrave.score.sign_list import (
    DYNAMICS,
    MARKS,
    NUMBERED_SPANS,
    OVER_RESTS,
    PARTS_OF_SLURS,
    SPANS,
    SignName,
)
from engrave.theory.repeats import GoBack
from engrave.writing.dump import dump_score
from tests.exchange.test_round_trips import ALL, loaded, sample
from tests.guide_texts import blocks
from tests.reading.helpers import read, read_if_right

QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large]
APART = {"location", "file"}
UNORDERED = {"techniques", "spans"}


def whole(value):
    """Everything of a score but places."""
    if is_dataclass(value) and not isinstance(value, type):
        names = [field.name for field in fields(value)]
    elif hasattr(value, "_fields"):
        names = value._fields
    elif isinstance(value, (tuple, list)):
        return [whole(entry) for entry in value]
    elif isinstance(value, dict):
        return {str(key): whole(entry) for key, entry in value.items()}
    else:
        return value.value if isinstance(value, Enum) else value
    found = {name: whole(getattr(value, name)) for name in names if name not in APART}
    return {name: sorted(entry, key=str) if name in UNORDERED else entry for name, entry in found.items()}


def came_back(text, width=100):
    """The score of `text`, its twin from typed tab, the losses told, and the tab."""
    return there_and_back(read(text), width)


def there_and_back(found, width=100):
    """A score, its twin from typed tab, the losses told, and the tab."""
    written, lost = write_text_tab(found, width)
    return whole(found), whole(loaded(read_text_tab(written.encode()).tree)), lost, written


def same(measures, head=""):
    """The typed tab of a score that comes back the same, without a loss."""
    found, twin, lost, written = came_back(f"score: 1\n{head}measures:\n{measures}")
    assert (lost, twin) == ([], found), written
    return written


def row(written, name):
    """What stands in the rows called `name`."""
    return [
        line.strip()[len(name) :].strip()
        for line in written.split("\n")
        if line.strip().startswith(f"{name} ")
    ]


# --- marks, fingers, bends.

UNPLAYABLE = ("natural-harmonic",)


@pytest.mark.parametrize("mark", [mark for mark in MARKS if mark not in (SignName.SLUR, *PARTS_OF_SLURS)])
def test_every_mark_of_a_note_and_of_an_event_comes_back(mark):
    note = f"{{1: 0}}, {{1: 12 {mark}}}"
    same(f"  - notes: [1/4: [{note}, {{1: 5, 2: 5}}, {{1: 7, 2: 12 {mark}}}]]\n")
    if mark not in UNPLAYABLE:
        event = f"1/4: {{1: 3, marks: [{mark}]}}, 1/4: {{1: 3, 2: 3, marks: [{mark}, {'tenuto' if mark == 'accent' else 'accent'}]}}, 1/4: {{2: 3}}"
        same(f"  - notes: [{event}, 1/4: rest]\n")


@pytest.mark.parametrize("mark", OVER_RESTS)
def test_marks_over_rests_come_back(mark):
    written = same(f"  - notes: [1/2: {{1: 3}}, 1/2: {{marks: [{mark}]}}]\n")
    assert row(written, "marks") == [mark]


LONGER = [
    "bend: full", "bend: pre 1/2", "bend: pre full release", "bend: full then 1 1/2 release to 1/2", "bend: 1/4", "bend: full hold release",
    "vibrato-bar: dip 1/2", "vibrato-bar: vibrato", "trill: 7", "artificial-harmonic: 17", "tapped-harmonic: 17", "touched-harmonic: 12",
    "finger: 3", "finger: T", "finger: 0", "pluck: a", "pluck: p",
]  # fmt: skip


@pytest.mark.parametrize("detail", LONGER)
def test_the_longer_form_of_a_fret_comes_back(detail):
    same(
        f"  - notes: [1/2: {{1: {{fret: 5, {detail}}}}}, 1/2: {{1: 3, 2: {{fret: 5, {detail}, marks: [vibrato]}}}}]\n"
    )


def test_a_bend_of_a_held_note_and_a_harmonic_between_frets_come_back():
    same("  - notes: [1/2: {2: {fret: 5, bend: full}}, 1/2: {2: {fret: tie, bend: release}}]\n")
    written = same("  - notes: [1/1: {2: 2.7 natural-harmonic}]\n")
    assert row(written, "marks") == ["natural-harmonic 2.7"]


def test_fingers_stand_over_their_notes():
    written = same(
        "  - notes: [1/2: {1: {fret: 3, finger: 4}}, 1/2: {1: {fret: 1, finger: 1}, 2: {fret: 3, finger: 3}}]\n"
    )
    assert row(written, "fingers") == ["4  1:1,2:3"]


# --- signs that last.


@pytest.mark.parametrize("name", SPANS)
@pytest.mark.parametrize(
    "length", ["1/4", "1/2", "1/1", "1/2. + 1/8", "1 measure", "2 measures", "2/1 + 1/4"]
)
def test_every_sign_that_lasts_comes_back(name, length):
    sign = f"{name} 5 for {length}" if name in NUMBERED_SPANS else f"{name} for {length}"
    measure = "  - notes: [1/4: [{1: 3}, {1: 5}, {1: 7}, {1: 8}]]\n"
    same(measure + f"    spans: {{2: {sign}}}\n" + measure + measure)


def test_dashes_tell_where_a_sign_ends():
    written = same(
        "  - notes: [1/4: [{6: 3}, {6: 3}, {6: 3}, {6: 3}]]\n    spans: {1: palm-mute for 1/1}\n  - notes: rest\n"
    )
    assert row(written, "spans") == ["palm-mute-"] or row(written, "spans") == ["palm-mute for 1/1"], written


def test_a_typed_sign_lasts_as_long_as_its_dashes():
    text = "  spans  palm-mute------\n         q     q     q     q\n" + "".join(
        f"      {name}|--0-----0-----0-----0---|\n" for name in "eBGDAE"
    )
    (span,) = loaded(read_text_tab(text.encode()).tree).parts[0].measures[0].spans
    assert (span.name, span.length * 4) == ("palm-mute", 3)


# --- words.


def test_lyrics_come_back_with_verses_hyphens_holds_and_joined_syllables():
    written = same(
        "  - notes: [1/4: [{1: 3}, {1: 5}, rest, {1: 7}]]\n    lyrics: {1: lan-tern ..., 2: bright-‿e-ly}\n"
        "  - notes: [1/4: [{1: 3}, tie, {1: 7}, {1: 8}]]\n    lyrics: {1: ... burns a\\-gain, 3: la}\n"
    )
    assert row(written, "lyrics")[0].split() == ["lan-", "tern", "...", "...", "burns", "a\\-gain"]


def test_words_loudness_and_chord_names_between_notes_keep_their_beat():
    written = same(
        "  - notes: [1/1: {1: 3}]\n    text: {1: start, 2.5: 'softly, now', 4: end}\n    dynamics: {1: p, 3: f}\n    chord: {1: C, 2 1/3: 'G7/B', 4: N.C.}\n"
    )
    assert "@2+1/2 softly, now" in written


@pytest.mark.parametrize("jump", [jump.value for jump in GoBack])
def test_jumps_and_endings_come_back(jump):
    measures = [
        "segno: true, repeat: start", "ending: [1, 2], repeat: end, times: 3", "ending: 3", "to-coda: true, label: B", f"fine: true, go-back: {jump}",
        "coda: true",
    ]  # fmt: skip
    if not jump.startswith("D.S."):
        measures[0] = "repeat: start"
    if not jump.endswith("Fine"):
        measures[4] = f"go-back: {jump}"
    if not jump.endswith("Coda"):
        measures[3], measures[5] = "label: B", "label: C"
    written = same("".join(f"  - {{notes: [1/1: {{1: 3}}], {measure}}}\n" for measure in measures))
    assert row(written, "ending")[0].startswith("1,2.")
    assert jump in written


def test_changes_on_the_way_come_back():
    same(
        "  - {notes: [1/1: {1: 3}], counting: true, barline: dashed}\n  - {notes: [1/1: {1: 3}], key: Eb major, tempo: 'Faster, 1/4. = 200', new: page}\n"
        "  - {notes: [1/1: {1: 3}], number: 40, counting: false, barline: none, new: line, label: '[x] no label'}\n"
        "  - {notes: [1/1: {1: 3}], barline: single, key: D dorian, tempo: 1/4 = 62.5}\n"
    )


def test_lines_at_the_head_tell_how_the_piece_is_shown():
    written = same(
        "  - notes: [1/1: {1: 3}]\n    chord: G\n",
        "copyright: © 2001 Anna Example, all rights kept\nlanguage: pt-BR\nview: rhythm-tab\nstyle: large-print\ngrids: top\nleft-handed: true\n"
        "counting: true\nexplain-signs: used\nshapes: {G: {frets: 3 2 0 0 0 3, fingers: 2 1 0 0 0 3}, D7/F#: 2 x 0 2 1 2}\n"
        "house-style: {signs: {tap: {letters: +}}}\n",
    )
    assert "Shape: D7/F# 2 x 0 2 1 2\n" in written


def test_what_the_lines_of_strangers_say_in_such_words_is_no_setting():
    text = (
        "Title: Any\nLanguage: English\nStyle: fingerpicking\nView: from the hill\nGrids: no\n\n"
        + "".join(f"{name}|--0--|\n" for name in "eBGDAE")
    )
    tree = read_text_tab(text.encode()).tree
    assert not {"language", "style", "view", "grids"} & tree.keys()


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_nothing_of_a_sample_is_lost_but_the_names_of_strum_patterns(path):
    score = sample(path)
    _, lost = write_text_tab(score)
    assert [what for what in lost if "the names of strum patterns" not in what] == []


def test_the_example_in_the_guide_is_read_without_a_remark_and_written_the_same():
    (text,) = blocks("Title: Ferry Bell")
    found = read_text_tab(text.encode())
    assert found.notes == []
    assert write_text_tab(loaded(found.tree)) == (text, [])


# --- all of it at once.


FRETS = st.sampled_from(["0", "3", "12", "5 vibrato", "7 hammer-on", "9 slide", "2 slide-away-up wide-vibrato", "x", "{fret: 5, bend: full release, finger: 2}",
                         "{fret: 4, pluck: m, trill: 6}", "3 staccato accent", "5 slurred-slide ghost", "10 string-number pinch-harmonic"])  # fmt: skip
SHARED = [
    mark
    for mark in MARKS
    if mark in ("accent", "fermata", "pick-down", "arpeggiate-up", "caesura", "fade-out", "tenuto")
]
SYLLABLES = st.sampled_from(
    ["la", "strength-en", "O", "‿ever", "lan-tern", "...", "a\\-b", "’tis", "…", "5.", "@2", "x"]
)
WORDS = st.sampled_from(
    [
        "softly",
        "@3 hurry",
        "let ring, all",
        "1. time",
        "Am",
        "q e e",
        "A",
        "lyrics",
        "rit. - - -",
        "[x]",
        "Coda:",
        "Title: no",
        "x2",
        "é – ö",
    ]
)
LONG = st.sampled_from(
    [
        "palm-mute for 1/4",
        "let-ring for 2 measures",
        "barre 7 for 1/2",
        "8va for 1/2. + 1/16",
        "position 2 for 1/1",
    ]
)
BARS = st.sampled_from(["", "", "", "key: A minor", "new: line", "counting: true", "number: 30", "tempo: Very slowly", "tempo: '1/4 = 100'", "barline: double",
                        "barline: none", "label: Verse 2", "label: '2, x'"])  # fmt: skip


SILENT = ["rest", "{marks: [fermata]}"]


@st.composite
def measures(draw):
    items, notes = [], 0
    for value in draw(
        st.sampled_from([["1/1"], ["1/4"] * 4, ["1/8"] * 8, ["1/2.", "1/8", "1/8"], ["1/16"] * 4 + ["1/2."]])
    ):
        if items and draw(st.integers(0, 5)) == 0:
            items.append(
                f"{value}: {draw(st.sampled_from(SILENT if items[-1].endswith(('rest', 'fermata]}')) else [*SILENT, 'tie', 'tie']))}"
            )
            continue
        strings = draw(st.lists(st.integers(1, 6), min_size=1, max_size=3, unique=True))
        struck = [f"{string}: {draw(FRETS)}" for string in sorted(strings)]
        marks = draw(st.lists(st.sampled_from(SHARED), max_size=2, unique=True))
        items.append(
            f"{value}: {{{', '.join([*struck, *([f'marks: [{chr(44).join(marks)}]'] if marks else [])])}}}"
        )
        notes += 1
    rows = [f"  - notes: [{', '.join(items)}]"]
    for verse in draw(st.lists(st.integers(1, 3), max_size=2, unique=True)):
        sung = draw(st.lists(SYLLABLES, min_size=1, max_size=8))
        fitting, count = [], 0
        for word in sung:
            count += max(1, word.replace("\\-", "").count("-") + 1)
            fitting += [word] if count <= notes else []
        if fitting:
            lead = [] if any("lyrics" in line for line in rows) else ["    lyrics:"]
            rows += [*lead, f'      {verse}: "{" ".join(fitting)}"'.replace("\\", "\\\\")]
    for key, words in (
        ("text", WORDS),
        ("dynamics", st.sampled_from(DYNAMICS)),
        ("spans", LONG),
        ("chord", st.sampled_from(["C", "F#m7b5", "N.C."])),
    ):
        beats = draw(st.lists(st.sampled_from(["1", "2", "2.5", "3 1/3", "4"]), max_size=2, unique=True))
        if beats:
            pairs = ", ".join(f'{beat}: "{draw(words)}"' for beat in sorted(beats))
            rows.append(f"    {key}: {{{pairs}}}")
    rows += [f"    {measure}" for measure in [draw(BARS)] if measure]
    return "\n".join(rows) + "\n"


@settings(max_examples=150, suppress_health_check=QUIET)
@given(st.lists(measures(), min_size=1, max_size=4), st.sampled_from([40, 100]))
def test_random_words_and_marks_come_back(rows, width):
    text = "score: 1\nmeasures:\n" + "".join(rows)
    score = read_if_right(text)
    assume(score is not None)  # of two signs that last and exclude each other, say
    found, twin, lost, written = there_and_back(score, width)
    assert (lost, twin) == ([], found), written


ODD = st.one_of(
    st.text(
        st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"])
        | st.sampled_from('-|:@[]() eBG1Ax\\"\'–’;,=#♭×"'),
        max_size=30,
    ),
    st.sampled_from(
        [
            "  two  blanks ",
            '"',
            '""',
            '"quoted"',
            "e|---0---|",
            "Title: no",
            "a" * 300,
            "\\u0041",
            "1. ",
            "\N{MUSICAL SYMBOL G CLEF}",
            "rhythm q q",
            "@99",
        ]
    ),
)
"""Words of any signs that a file can hold, those of tab among them more often."""
HEADS = ("title", "subtitle", "copyright", "style")
BAR_WORDS = ("label", "text", "tempo")


@settings(max_examples=300, suppress_health_check=QUIET)
@given(
    st.dictionaries(
        st.sampled_from([*HEADS, *BAR_WORDS, "music", "words", "name", "called"]), ODD, min_size=1
    ),
    st.lists(ODD.map(lambda word: "".join(word.split())), max_size=2),
)
def test_words_of_any_signs_come_back(words, sung):
    tree = {"score": 1, **{key: words[key] for key in HEADS if key in words}}
    tree["credits"] = {key: words[key] for key in ("music", "words") if key in words}
    instrument = {"preset": "guitar", **({"name": words["called"]} if "called" in words else {})}
    tree["parts"] = [
        {"id": "one", "instrument": instrument, **({"name": words["name"]} if "name" in words else {})}
    ]
    measure = {**{key: words[key] for key in BAR_WORDS if key in words}}
    own = {
        "notes": [{"1/4": [{1: 3}, {2: 1}, {3: 0}, {2: 1}]}],
        **({"text": measure.pop("text")} if "text" in measure else {}),
    }
    lyrics = " ".join(sung).strip()
    own |= {"lyrics": lyrics} if lyrics else {}
    tree["measures"] = [{"parts": {"one": {"notes": [{"1/1": {1: 3}}]}}}, {**measure, "parts": {"one": own}}]
    text = dump_score(tree)
    score = read_if_right(text)
    assume(score is not None)
    found, twin, lost, written = there_and_back(score)
    assert (lost, twin) == ([], found), written


def test_chord_names_with_blanks_or_real_accidentals_and_any_house_style_come_back():
    head = 'shapes: {C add9: x 3 2 0 3 0, "B♭": {frets: x 1 3 3 3 1, fingers: 0 1 2 3 4 1}, "C#m7b5": x 4 5 4 5 x}\n'
    style = (
        'house-style: {words: {title: {face: sans-bold, size: 4}}, notes: ["a  b | c -- d", -0.5, true]}\n'
    )
    same('  - {chord: {1: C add9, 3: "B♭"}, notes: [1/1: {1: 3}]}\n', head + style)


def test_a_usual_house_style_is_typed_without_escapes():
    written = same("  - notes: [1/1: {1: 3}]\n", "house-style: {words: {title: {face: sans-bold}}}\n")
    assert 'House style: {"words": {"title": {"face": "sans-bold"}}}' in written
