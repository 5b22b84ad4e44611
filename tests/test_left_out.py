"""Examples in which something is left out, for students to write in."""

from pathlib import Path

import pytest

from engrave.marks.role import Role
from tests import made

SAMPLES = sorted(
    path
    for path in (Path(__file__).parents[1] / "samples").rglob("*.yaml")
    if "\nscore: 1" in f"\n{path.read_text('utf-8')}"
)
RHYTHM = {Role.NOTEHEAD, Role.STEM, Role.BEAM, Role.FLAG, Role.DOT, Role.LEDGER_LINE}
DUET = """score: 1
time: 2/4
measures:
  - notes: [1/8: [3:0 slur, 3:2, 2:0 end-slur, 2:1 hammer-on]]
    lower: [1/2: 5:3]
    lyrics: one two three four
  - notes: [1/4: 2:3 bend full, 1/4: 2:1]
"""


def roles(tmp_path, music, left_out, view="staff+tab"):
    path = tmp_path / "lesson.yaml"
    path.write_text(
        f"handout: 1\ncontent:\n  - music: {music}\n    view: {view}\n    leave-out: {left_out}\n", "utf-8"
    )
    document, outcome = made.place(str(path))
    problems = [str(problem) for problem in outcome.problems if problem.severity.value == "error"]
    if document is None:
        return None, problems
    return [mark.role for page in document.pages for group in page.groups for mark in group.marks], problems


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_no_fret_stands_on_a_tab_whose_frets_are_left_out(tmp_path, sample):
    found, problems = roles(tmp_path, sample, "frets")
    if found is None:
        assert all("no frets to leave out" in problem for problem in problems)
        return
    assert Role.FRET not in found
    assert Role.NOTEHEAD in found


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_no_note_stands_on_a_staff_whose_notes_are_left_out(tmp_path, sample):
    found, problems = roles(tmp_path, sample, "notes")
    if found is None:
        assert all("no notes to leave out" in problem for problem in problems)
        return
    if not any(
        word in sample.read_text("utf-8") for word in ("slash", "strum:")
    ):  # slashes stand on the tab too
        assert not {Role.NOTEHEAD, Role.STEM, Role.BEAM, Role.FLAG} & set(found)
    assert Role.LEDGER_LINE not in found
    assert Role.FRET in found


def test_of_a_tab_without_rhythm_the_digits_stay(tmp_path):
    (waltz,) = (path for path in SAMPLES if path.stem == "lantern-waltz")
    found, _ = roles(tmp_path, waltz, "rhythm")
    assert not RHYTHM & set(found)
    assert Role.FRET in found


@pytest.mark.parametrize("view", ["tab", "rhythm-tab", "staff"])
@pytest.mark.parametrize("left_out", ["frets", "notes"])
def test_something_must_be_left_to_look_at(tmp_path, view, left_out):
    (tmp_path / "tune.yaml").write_text("score: 1\nmeasures:\n  - notes: [1/1: 3:2]\n", "utf-8")
    found, problems = roles(tmp_path, "tune.yaml", left_out, view)
    assert found is None
    assert f"{left_out} are left out where staff and tab are shown, and this is view: {view}" in problems[0]


def test_what_belongs_to_the_piece_stays(tmp_path):
    (tmp_path / "duet.yaml").write_text(DUET, "utf-8")
    found, problems = roles(tmp_path, "duet.yaml", "notes")
    assert problems == []
    assert found.count(Role.LYRIC) == 4
    assert Role.FRET in found
