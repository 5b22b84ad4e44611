"""Typed tab that is drawn otherwise than our writer draws it, or typed carelessly, reads back the same (property tests).

How tab is typed: common practice, no source.
"""

import re

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from engrave.exchange.text_tab.reader import read_text_tab
from engrave.exchange.text_tab.writer import write_text_tab
from tests.exchange.test_round_trips import loaded
from tests.exchange.test_text_tab_rows import whole
from tests.exchange.test_typed_tabs import columns, events, read, rhythm
from tests.reading.helpers import read as read_score

QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large]
STRING_LINE = re.compile(r"[eBGDAE] *\|")
RHYTHMS = ["1/4 1/4 1/4 1/4", "1/8 1/8 1/4 1/2", "1/4. 1/8 1/4 1/8 1/8", "1/2 1/8 1/8 1/16 1/16 1/8", "1/1"]
NAMES = "eBGDAE"


@st.composite
def plain_scores(draw):
    """A guitar's notes and chords without signs, with a rest here and there."""
    measures = []
    for _ in range(draw(st.integers(1, 5))):
        items = []
        for value in draw(st.sampled_from(RHYTHMS)).split():
            strings = draw(st.lists(st.integers(1, 6), min_size=1, max_size=4, unique=True))
            chord = "+".join(f"{string}:{draw(st.integers(0, 12))}" for string in sorted(strings))
            items.append(f"{value}: {draw(st.sampled_from([chord, chord, chord, 'rest']))}")
        measures.append(f"  - notes: [{', '.join(items)}]")
    return "score: 1\ninstrument: guitar\nmeasures:\n" + "\n".join(measures) + "\n"


def written(text):
    """The score of `text` and the lines of the tab that our writer makes of it."""
    score = read_score(text)
    return score, write_text_tab(score, 70)[0].split("\n")


def check(score, lines):
    back = loaded(read_text_tab("\n".join(lines).encode()).tree)
    assert whole(back) == whole(score), "\n".join(lines)


@settings(max_examples=60, suppress_health_check=QUIET)
@given(plain_scores(), st.sampled_from("=_.·—– "))
def test_lines_may_be_drawn_with_other_signs(text, sign):
    score, lines = written(text)
    check(score, [line.replace("-", sign) if STRING_LINE.match(line) else line for line in lines])


@settings(max_examples=60, suppress_health_check=QUIET)
@given(plain_scores(), st.sampled_from([-1, 1]))
def test_a_row_of_values_may_stand_a_column_off(text, shift):
    score, lines = written(text)
    moved = []
    for line, following in zip(lines, [*lines[1:], ""]):
        is_row = bool(STRING_LINE.match(following)) and not STRING_LINE.match(line)
        assume(not is_row or line.startswith("  "))
        moved.append((" " + line if shift > 0 else line[1:]) if is_row else line)
    check(score, moved)


@settings(max_examples=60, suppress_health_check=QUIET)
@given(plain_scores(), st.data())
def test_ends_of_lines_may_be_ragged(text, data):
    score, lines = written(text)
    ragged = []
    for line in lines:
        if STRING_LINE.match(line):
            dashes = len(line.rstrip("|")) - len(line.rstrip("|").rstrip("-"))
            cut = data.draw(st.integers(0, min(2, max(0, dashes - 1))))
            bars = line[len(line.rstrip("|")) :]
            line = line.rstrip("|")[: len(line.rstrip("|")) - cut] + bars
        ragged.append(line)
    # the first string keeps its length, so that the measure does
    first = {index for index, line in enumerate(lines) if line.startswith("e") and STRING_LINE.match(line)}
    check(score, [lines[index] if index in first else line for index, line in enumerate(ragged)])


@settings(max_examples=60, suppress_health_check=QUIET)
@given(plain_scores(), st.integers(1, 5), st.booleans())
def test_a_barline_may_be_missing_on_one_string(text, string, with_dash):
    score, lines = written(text)
    changed = []
    for line in lines:
        bars = [match.start() for match in re.finditer(r"\|", line)]
        if line.startswith(NAMES[string]) and STRING_LINE.match(line) and len(bars) > 2:
            line = line[: bars[1]] + ("-" if with_dash else "") + line[bars[1] + 1 :]
        changed.append(line)
    check(score, changed)


@settings(max_examples=60, suppress_health_check=QUIET)
@given(plain_scores())
def test_names_of_strings_may_be_small(text):
    score, lines = written(text)
    check(score, [line[0].lower() + line[1:] if STRING_LINE.match(line) else line for line in lines])


@settings(max_examples=60)
@given(st.sampled_from([2, 3, 4, 6, 8]), st.integers(2, 4), st.integers(1, 4))
def test_even_columns_are_even_notes(count, gap, measures):
    row = "|" + ("-" + ("3" + "-" * (gap - 1)) * count + "|") * measures
    text = "\n".join(f"{name}{row if name == 'G' else re.sub('3', '-', row)}" for name in "GDAE")
    score = read(text)[1]
    for values, notes in zip(rhythm(score), columns(score)):
        assert len(set(values.split())) == 1, text
        assert len(values.split()) == len(notes.split()) == count


@settings(max_examples=60)
@given(st.sets(st.integers(0, 7), min_size=1), st.sampled_from([-1, 0, 1]))
def test_a_count_may_stand_a_column_off(struck, shift):
    row = "-" + "".join(("5" if index in struck else "-") + "---" for index in range(8))
    lines = [f"{name}|{row if name == 'D' else '-' * len(row)}|" for name in "GDAE"]
    count = " " * (3 + shift) + "1   &   2   &   3   &   4   &"
    score = read("\n".join([count, *lines]))[1]
    onsets = [event.onset * 8 for event in events(score)[0] if event.notes and not event.notes[0].tie_from]
    assert onsets == sorted(struck)
