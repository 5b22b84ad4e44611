"""A ringed number says on which string a note is played (MusicXML 4.0, string); every note of its event has its own."""

import pytest

from tests.made import check, place


def rings(path):
    pages, outcome = place(path)
    assert [str(problem) for problem in outcome.problems] == []
    marks = [mark for page in pages.pages for group in page.groups for mark in group.marks]
    return sorted(mark.name for mark in marks if getattr(mark, "name", "").startswith("guitarString"))


@pytest.mark.parametrize(
    ("event", "numbers"),
    [
        ("{1: 0, marks: [string-number]}", "1"),
        ("{2: 1, 3: 0, marks: [string-number]}", "23"),
        ("{2: 1 string-number, 3: 0, marks: [string-number]}", "23"),
        ("3:5+2:5 string-number", "23"),
    ],
)
def test_a_mark_of_the_event_rings_every_string(tmp_path, event, numbers):
    path = tmp_path / "a.yaml"
    path.write_text(f"score: 1\nmeasures: [{{notes: [1/1: {event}]}}]\n", "utf-8")
    assert rings(path) == [f"guitarString{number}" for number in numbers]


def test_a_part_without_strings_has_none_to_name(tmp_path):
    path = tmp_path / "a.yaml"
    path.write_text(
        "score: 1\ninstrument: voice\nmeasures: [{notes: [1/1: {pitch: C4, marks: [string-number]}]}]\n",
        "utf-8",
    )
    (problem,) = check(path).problems
    assert "names a string, and the voice has none" in problem.what
    assert problem.location.line == 3
