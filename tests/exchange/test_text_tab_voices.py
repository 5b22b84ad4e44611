"""Voices, ties, tuplets, grace notes and silences go through plain-text tab and come back the same.

How the rows of values look: the project's own; see the guide.
"""

import re

import pytest
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st

from engrave.exchange.text_tab.reader import read_text_tab
from engrave.exchange.text_tab.writer import write_text_tab
from tests.exchange.test_musicxml_random import quiet_scores
from tests.exchange.test_round_trips import ALL, differences, loaded, sample
from tests.guide_texts import blocks
from tests.layout.test_random_scores import scores
from tests.reading.helpers import read

QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large]


def came_back(text, width=100):
    """What is different in a score that was written as text and read, the losses told, and the text."""
    found = read(text)
    written, lost = write_text_tab(found, width)
    twin = loaded(read_text_tab(written.encode()).tree)
    return differences(found, twin), lost, written


def same(measures, head=""):
    """The text of a score that comes back the same, without a loss."""
    differing, lost, written = came_back(f"score: 1\n{head}measures:\n{measures}")
    assert (differing, lost) == ({}, []), written
    return written


def rows(written):
    """The lines of the last block, without its strings' names."""
    return [line.rstrip() for line in written.strip().split("\n\n")[-1].split("\n")]


def test_two_voices_have_a_row_each():
    written = same(
        "  - {notes: [1/4: [{1: 3}, {2: 0, 3: 0}, rest], 1/4: {1: 2}], lower: [1/2: {6: 3}, 1/4: tie, 1/4: {4: 0}]}\n"
    )
    assert rows(written) == [
        "   q q  q, q",
        "e|-3-------2-||",
        "B|---0-------||",
        "G|---0-------||",
        "D|---------0-||",
        "A|-----------||",
        "E|-3---------||",
        "   h   _q  q",
    ]


@pytest.mark.parametrize(
    ("upper", "lower", "over", "under"),
    [
        ("{1: 3}", "{6: 3, 5: 2}", "w", "w:56"),
        ("{6: 3}", "{1: 0}", "w", "w:1"),
        ("{1: 3, 5: 2}", "{5: 2}", "w:15", "w:5"),
        ("rest", "{5: 2, 4: 1}", "w,", "w"),
        ("{5: 2, 4: 1}", "rest", "w", "w,"),
    ],
)
def test_strings_are_named_where_the_lower_voice_has_more_than_the_thickest(upper, lower, over, under):
    written = same(f"  - {{notes: [1/1: {upper}], lower: [1/1: {lower}]}}\n")
    assert (rows(written)[0].strip(), rows(written)[-1].strip()) == (over, under)


@pytest.mark.parametrize(
    "measure",
    [
        "{notes: [1/2: {1: 3, 2: 0}, 1/4: {1: tie, 2: 1}, 1/4: {1: tie}]}",
        "{notes: [1/2: {1: 3, 2: 0}, 1/2: {1: 1, 2: tie, 3: 0}], lower: [1/2: {5: 3, 6: 0}, 1/2: {5: 2, 6: tie}]}",
        "{notes: [1/2: {1: 3, 2: 0}, 1/2: {1: tie, 2: tie}]}",
        "{notes: [grace 1/8: {1: 1}, 1/2: {1: 3}, appoggiatura 1/16: [{1: 1, 2: 0}, {1: 2}], 1/4: {1: 3}, 1/4: {1: 0}, closing-grace 1/16: [{1: 1}, {1: 0}]]}",
        "{notes: [1/2: {1: 3}, closing-grace 1/16: {1: 1}, grace 1/16: {2: 1}, 1/2: {1: 3}], lower: [grace 1/8: {6: 1}, 1/1: {6: 3}, closing-grace 1/8: {6: 1}]}",
        "{notes: [grace 1/8: {1: 1}, 1/1: tie]}",
        "{notes: [3 in 2 of 1/4: [1/4: {1: 1}, 3 in 2 of 1/8: [{1: 3}, tie, rest], 1/4: {2: 1}], 7 in 6 of 1/16: [{1: 0}, 1/8: {1: 1}, 1/16: [{1: 2}, rest, rest, {1: 3}]], 1/8: rest]}",
        "{notes: [5 in 4 of 1/8: [3 in 2 of 1/8: [{1: 1}, {1: 2}, {1: 3}], 1/8: [{2: 1}, {2: 2}, {2: 3}]], 1/2: {1: 1}], lower: [3 in 2 of 1/2: [{6: 0}, {6: 1}, {6: 3}]]}",
        "{notes: [1/4: slash, 1/8: [slash, slash], 1/4: rest, 1/4: slash], chord: {1: Am, 3: G}}",
        "{notes: [1/4: [{1: x}, {2: 3 ghost}, {2: x ghost}, {1: 5 slide}]]}",
        "{notes: rest, lower: [1/2: [{6: 3}, rest]]}",
        "{notes: rest, lower: rest}",
        "{notes: [1/2: [rest, rest]]}",
        "{notes: [1/2: [rest, rest]], lower: [1/1: rest]}",
        "{multiple-rest: 12}",
        "{notes: [1/64: [{1: 1}, {1: 3}], 1/32: {1: 5}, 1/16: {1: 0}, 1/8: {1: 1}, 1/4: {1: 2}, 1/2: {1: 4}], lower: [1/64: [{6: 3}, rest], 1/64: [{6: 3}, rest], 1/16: rest, 1/8: rest, 1/4.: {6: 0}, 1/4.: rest]}",
    ],
)
def test_a_measure_comes_back(measure):
    same(f"  - {{notes: [1/1: {{1: 1, 2: 3}}]}}\n  - {measure}\n  - {{notes: [1/1: {{1: 1}}]}}\n")


@pytest.mark.parametrize("count", [1, 2, 4])
def test_measures_that_repeat_others_come_back(count):
    measures = "  - {notes: [1/2: [{1: 1}, {2: 3}]]}\n  - {notes: [1/1: {1: 1}]}\n" * 2
    written = same(
        measures + f"  - {{measure-repeat: {count}}}\n" * count * 2 + "  - {notes: [1/1: {1: 1}]}\n"
    )
    assert written.count("%") == 2 * count


def test_signs_of_repeats_without_enough_measures_are_doubted():
    text = "r  %2   w\n" + "".join(f"{name}|----|-0--|\n" for name in "eBGDAE")
    found = read_text_tab(text.encode())
    assert any(note.kind == "doubted" and "repeat" in note.what for note in found.notes)
    assert len(loaded(found.tree).measures) == 2


def test_ties_go_over_bar_lines_in_both_voices():
    same("  - {notes: [1/1: {1: 1}], lower: [1/1: {6: 3}]}\n  - {notes: [1/1: tie], lower: [1/1: tie]}\n")
    same(
        "  - {notes: [1/1: {1: 1}]}\n  - {notes: [1/1: tie], lower: [1/1: {6: 1}]}\n  - {notes: [1/1: tie]}\n"
    )


def test_a_lower_row_that_does_not_fit_is_told_and_left():
    text = "   q q h\n" + "".join(f"{name}|-0-0-0-|\n" for name in "eBGDAE") + "   h   q\n"
    found = read_text_tab(text.encode())
    assert any("under the strings" in note.what for note in found.notes)
    assert len(loaded(found.tree).parts[0].measures[0].voices) == 1


def test_digits_under_the_strings_are_no_second_voice():
    text = "   q q h\n" + "".join(f"{name}|-0-2-1-|\n" for name in "eBGDAE") + "   1 2 1\n"
    assert len(loaded(read_text_tab(text.encode()).tree).parts[0].measures[0].voices) == 1


@settings(max_examples=60, suppress_health_check=QUIET)
@given(scores(), st.sampled_from([40, 100]))
def test_random_scores_come_back(text, width):
    text = re.sub(r"(?m)^(shapes|counting): .*\n", "", text)  # not about voices
    differing, lost, written = came_back(text, width)
    assert (differing, lost) == ({}, []), written


@settings(max_examples=100)
@given(quiet_scores())
def test_silent_voices_come_back(text):
    differing, lost, written = came_back(text)
    assert (differing, lost) == ({}, []), written


EVENT = st.sampled_from(["{1: 3}", "{1: 0, 2: 1}", "{2: 10, 3: 12}", "{1: x}", "{3: 2}", "rest"])
LOW = st.sampled_from(["{6: 3}", "{5: 2, 6: 0}", "{3: 2, 4: 0}", "{4: x}", "rest", "{5: 12}"])
GRACES = st.sampled_from(
    ["", "", "", "grace 1/8: {2: 3}", "grace 1/16: [{2: 1}, {2: 3, 3: 0}]", "appoggiatura 1/8: {5: 3}"]
)
TUPLETS = ["3 in 2 of 1/8", "5 in 4 of 1/16", "3 in 4 of 1/16", "3 in 2 of 1/16 + 3 in 2 of 1/16"]


@st.composite
def busy_voices(draw, events, open_strings):
    """A measure of 4/4 in one voice: ties (of some strings or of all), grace notes, tuplets in tuplets."""
    items, sounding = [], open_strings
    for _ in range(4):
        kind = draw(st.sampled_from(["1/4", "1/8", "1/8.", *TUPLETS]))
        values = {"1/4": ["1/4"], "1/8": ["1/8", "1/8"], "1/8.": ["1/8.", "1/16"]}.get(kind, [""] * 3)
        if kind.startswith("5"):
            values = [""] * 5
        inner = []
        for value in values:
            event = draw(events)
            if sounding and draw(st.integers(0, 3)) == 0:
                string = draw(st.sampled_from(sorted(sounding)))
                event = draw(st.sampled_from(["tie", f"{{{string}: tie}}"]))
                sounding = sounding if event == "tie" else {string}
            else:
                sounding = {int(part.split(":")[0]) for part in event.strip("{}").split(",") if ":" in part}
            if event.startswith("{") and "tie" not in event and (grace := draw(GRACES)):
                inner.append(grace)
            inner.append(f"{value}: {event}" if value else event)
            if sounding and draw(st.integers(0, 9)) == 0:
                inner.append("closing-grace 1/16: {1: 1}")
                sounding = {1}
        items.append((kind, inner))
    return "[" + ", ".join(_written(kind, inner) for kind, inner in items) + "]"


def _written(kind, inner):
    """A beat in the score language; the double tuplet has a triplet in its first third."""
    if " in " not in kind:
        return ", ".join(inner)
    ratio = kind.split(" + ")[0]
    if "+" in kind:
        ratio = "3 in 2 of 1/8"
    unit = ratio.split(" of ")[1]
    entries = [entry if "grace" in entry or "appogg" in entry else f"{unit}: {entry}" for entry in inner]
    if "+" in kind:
        entries.append("3 in 2 of 1/16: [{1: 1}, {1: 2}, rest]")
        firsts = [i for i, entry in enumerate(entries) if entry.startswith(unit)]
        del entries[firsts[-1] : -1]
    return f"{ratio}: [{', '.join(f'{{{entry}}}' for entry in entries)}]"


@settings(max_examples=150, suppress_health_check=QUIET)
@given(st.data(), st.sampled_from([30, 100]))
def test_two_busy_voices_come_back(data, width):
    lines = ["score: 1", "measures:"]
    for _ in range(data.draw(st.integers(1, 3))):
        upper = data.draw(busy_voices(EVENT, set()))
        lines.append(f"  - notes: {upper}")
        if data.draw(st.booleans()):
            lines.append(f"    lower: {data.draw(busy_voices(LOW, set()))}")
    try:
        found = read("\n".join(lines) + "\n")
    except AssertionError:
        reject()  # two voices on one string at once, and other things that no score may have
    written, lost = write_text_tab(found, width)
    twin = loaded(read_text_tab(written.encode()).tree)
    assert (differences(found, twin), lost) == ({}, []), written


DENSE = write_text_tab(
    read(
        "score: 1\nparts:\n  - {id: lead, name: Anna, instrument: banjo, capo: 2}\n  - {id: two, name: Two}\nmeasures:\n"
        "  - parts: {lead: {notes: [grace 1/8: {1: 3}, 1/4: {1: 5}, 3 in 2 of 1/8: [1/8: {1: 3}, 5 in 4 of 1/16: [{1: 2}, rest, {1: 1}, tie, {1: 1, 2: 0}]],"
        " 1/2: {1: tie, 3: 2}, closing-grace 1/16: {1: 1}], lower: [1/2: {5: 3, 4: 0}, 1/4: tie, 1/4: {4: 2, 5: tie}]},"
        " two: {notes: [1/2: [slash, rest]], lower: [1/1: {6: 3}]}}\n"
        "  - parts: {lead: {measure-repeat: 1}, two: {notes: rest, lower: [1/1: tie]}}\n  - {multiple-rest: 3}\n"
        "  - {pickup: true, parts: {lead: {notes: [1/8: {1: x}]}, two: {notes: [1/8: rest]}}}\n"
    )
)[0]


def is_score_or_refusal(text):
    """A text is read as a right score, or refused in words."""
    try:
        tree = read_text_tab(text.encode()).tree
    except ValueError:
        return
    loaded(tree)


@given(
    st.lists(
        st.tuples(
            st.integers(0, len(DENSE) - 1),
            st.integers(0, 3),
            st.text("123456789:=_/<>%()rqhes.x; -|", max_size=3),
        ),
        max_size=20,
    )
)
@settings(max_examples=300, suppress_health_check=QUIET)
def test_damaged_rows_of_values_make_a_score_or_none(changes):
    text = DENSE
    for place, cut, new in changes:
        text = text[:place] + new + text[place + cut :]
    is_score_or_refusal(text)


WRITTEN = [
    write_text_tab(sample(path))[0]
    for path in ALL
    if path.stem in ("tide-table", "crowded", "rhythm", "lantern-waltz")
]
CHANGES = st.tuples(
    st.integers(0, 3000), st.integers(0, 3), st.text("123456789:=_/<>%()rqhes.x; -|@,", max_size=3)
)


@given(st.sampled_from(WRITTEN), st.lists(CHANGES, min_size=1, max_size=10))
@settings(max_examples=100, suppress_health_check=QUIET)
def test_damaged_texts_of_our_own_make_a_score_or_none(text, changes):
    for place, cut, new in changes:
        place %= len(text)
        text = text[:place] + new + text[place + cut :]
    is_score_or_refusal(text)


def test_rows_that_contradict_the_music_are_told_and_left():
    text = "ending  2.---\n       q q h\n" + "".join(f"      {name}|-0-0-0-|\n" for name in "eBGDAE")
    found = read_text_tab(text.encode())
    assert any("contradict" in note.what for note in found.notes)
    assert len(loaded(found.tree).measures) == 1


def test_the_example_in_the_guide_is_read_without_a_remark_and_written_the_same():
    (text,) = blocks("Time: 4/4\nPart: Anna")
    found = read_text_tab(text.encode())
    assert found.notes == []
    assert write_text_tab(loaded(found.tree)) == (text, [])


def test_slurs_come_back():
    notes = "[1/4: [1:3 slur, 1:5+2:5 end-slur slur, 2:3 phrase, 1:0 end-slur]]"
    same(
        f"  - notes: {notes}\n    lower: [1/2: [5:0 slur, 5:3 end-slur]]\n  - notes: [1/1: 1:0 end-phrase]\n"
    )
