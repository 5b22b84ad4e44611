"""Strum patterns at the head of chord sheets: arrows over the count (common practice, no source)."""

import pytest

from engrave.layout.songbook.chord_sheet import place_chord_sheet
from engrave.marks.mark import Glyph, Text
from engrave.marks.role import Role
from engrave.style.load import load_style
from tests.reading.helpers import read

WORDS = "chord: G, notes: [1/4: 3:0 3:0 2:0 2:0], lyrics: late the bell is"


def sheet(measures, head=""):
    style, _ = load_style("songbook")
    rows = "".join(f"  - {measure}\n" for measure in measures)
    return place_chord_sheet(read(f"score: 1\n{head}measures:\n{rows}"), style).pages[0]


def marks(page, role, kind):
    """Marks with their places in points."""
    return [
        (group.x + mark.x * group.scale, group.y + mark.y * group.scale, mark)
        for group in page.groups
        for mark in group.marks
        if mark.role is role and isinstance(mark, kind)
    ]


def arrows(page):
    return [
        mark.name.removeprefix("guitarStrum")[0].lower()
        for _, _, mark in marks(page, Role.PLAYING_SIGN, Glyph)
    ]


def test_a_pattern_is_printed_once_though_the_tune_has_notes_of_its_own():
    page = sheet([f"{{{WORDS}}}", f"{{{WORDS}}}"], "strum: folk\n")
    assert "".join(arrows(page)) == "dduudu"
    assert [mark.text for _, _, mark in marks(page, Role.COUNTING, Text)] == [
        "1",
        "&",
        "2",
        "&",
        "3",
        "&",
        "4",
        "&",
    ]


def test_arrows_stand_over_their_counts():
    page = sheet([f"{{{WORDS}}}"], "strum: eighths\n")
    counts = marks(page, Role.COUNTING, Text)
    for (x, y, _), (left, foot, _) in zip(marks(page, Role.PLAYING_SIGN, Glyph), counts, strict=True):
        assert abs(x - left) < 8
        assert y > foot


def test_several_patterns_are_called_by_their_sections():
    page = sheet(
        [f"{{label: Verse, {WORDS}}}", f"{{label: Chorus, strum: d u d u, {WORDS}}}"], "strum: folk\n"
    )
    labels = [mark.text for _, _, mark in marks(page, Role.LABEL, Text)]
    assert labels[:2] == ["Strum: Verse", "Strum: Chorus"]
    starts = [x for x, _, mark in marks(page, Role.COUNTING, Text) if mark.text == "1"]
    assert starts[0] == pytest.approx(starts[1])


def test_a_song_that_is_not_strummed_has_no_line():
    assert arrows(sheet([f"{{{WORDS}}}"])) == []


def test_a_long_pattern_stays_on_the_page():
    page = sheet([f"{{{WORDS}}}"], f"strums: {{long: {'d u ' * 16}}}\nstrum: long\n")
    assert max(x for x, _, _ in marks(page, Role.PLAYING_SIGN, Glyph)) < page.width - 40
