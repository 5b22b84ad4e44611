"""engrave shapes: shapes of chords and names of shapes; and scores that leave their shapes to us."""

import subprocess
import sys

import pdfplumber
import pytest
import yaml

from engrave.cli import main
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score

SCORE = """score: 1
{head}
measures:
  - chord: {{1: G, 3: C}}
    notes: [1/2: G4, 1/2: C5]
  - chord: {{1: G, 3: {last}}}
    notes: [1/2: G4, 1/2: D5]
"""


def said(capsys, *arguments):
    status = main(["shapes", *arguments])
    return status, capsys.readouterr()


def read(head, last="D7"):
    log = ProblemLog("score")
    return read_text_score(SCORE.format(head=head, last=last), log), log


def shapes_of(score, part=0):
    return [
        (chord.name.text, chord.shape and chord.shape.frets)
        for measure in score.parts[part].measures
        for chord in measure.chords
    ]


def test_a_line_tells_frets_fingers_tones_and_reach(capsys):
    status, spoken = said(capsys, "C", "--most", "1")
    assert status == 0
    # Frets 1 to 3 of a 650 mm scale are 66.9 mm apart (103.417 - 36.482, table of equal temperament).
    assert spoken.out.splitlines() == [
        "Guitar", "", "C", "  x 3 2 0 1 0   fingers - 3 2 - 1 -   C E G C E   reach 67 mm",
    ]  # fmt: skip


def test_what_a_shape_leaves_out_is_told(capsys):
    assert "without G" in said(capsys, "C7", "--most", "1")[1].out


@pytest.mark.parametrize(
    ("arguments", "first"),
    [
        (["D", "--tuning", "drop D"], "  0 0 0 2 3 2"),
        (["D", "--tuning", "D2 A2 D3 G3 B3 E4"], "  0 0 0 2 3 2"),
        (["C", "--instrument", "ukulele"], "  0 0 0 3"),
        (["G", "--instrument", "mandolin"], "  0 0 2 3"),
        (["G", "--instrument", "banjo"], "  0 0 0 0 0"),
        (["C", "--tuning", "G4 C4 E4 A4"], "  0 0 0 3"),
    ],
)
def test_any_instrument_and_tuning(arguments, first, capsys):
    """First shapes of these instruments: common practice, no source."""
    assert said(capsys, *arguments)[1].out.splitlines()[3].startswith(first)


def test_a_capo_leaves_the_shape_and_is_told(capsys):
    out = said(capsys, "C", "--capo", "2", "--most", "1")[1].out
    assert "Capo II" in out
    assert "x 3 2 0 1 0" in out
    assert "2 semitones" in out


def test_yaml_goes_into_a_score_as_it_is(capsys):
    out = said(capsys, "G", "D7/F#", "Bb", "--as", "yaml", "--most", "2")[1].out
    assert set(yaml.safe_load(out)["shapes"]) == {"G", "D7/F#", "Bb"}
    assert '"' not in out
    score, log = read(out.rstrip())
    assert score is not None, log.problems
    assert not log.problems
    assert shapes_of(score)[0] == ("G", (3, 2, 0, 0, 0, 3))


def test_below_and_most_limit_what_is_shown(capsys):
    out = said(capsys, "Am", "--highest-fret", "3", "--most", "20")[1].out
    rows = [line.split("fingers")[0].split() for line in out.splitlines()[3:]]
    assert 0 < len(rows) <= 20
    assert all(int(fret) <= 3 for row in rows for fret in row if fret != "x")


def test_inversions_say_which_tone_is_lowest(capsys):
    assert "is lowest" not in said(capsys, "Am7")[1].out
    assert "E is lowest" in said(capsys, "Am7", "--inversions")[1].out


def test_a_stretch_brings_a_caution_once(capsys):
    arguments = ("G", "Em", "--instrument", "bass", "--hand", "beginner")
    assert said(capsys, *arguments)[1].out.count("teacher") == 1
    assert "teacher" not in said(capsys, "C", "--most", "1")[1].out


@pytest.mark.parametrize("form", ["pdf", "png", "svg"])
def test_a_sheet_of_grids(form, tmp_path, capsys):
    target = tmp_path / f"sheet.{form}"
    assert said(capsys, "C", "Am", "--as", form, "-o", str(target))[0] == 0
    assert target.stat().st_size > 1000


def test_a_sheet_has_a_name_over_every_grid(tmp_path, capsys):
    target = tmp_path / "sheet.svg"
    said(capsys, "C", "--as", "svg", "--most", "4", "-o", str(target))
    assert target.read_text("utf-8").count('aria-label="C"') == 4


def placed_names(tmp_path, capsys, *arguments):
    """Each name on the sheet with its left edge and baseline."""
    target = tmp_path / "sheet.pdf"
    assert said(capsys, *arguments, "--as", "pdf", "-o", str(target))[0] == 0
    with pdfplumber.open(target) as pdf:
        return [
            [
                (w["text"], round(w["x0"]), round(w["top"]))
                for w in page.extract_words()
                if w["text"] in arguments and w["text"].isalpha()
            ]
            for page in pdf.pages
        ]


@pytest.mark.parametrize(("most", "in_row"), [("1", 6), ("2", 6), ("3", 6), ("4", 4)])
def test_chords_with_few_shapes_stand_side_by_side_over_the_width(most, in_row, tmp_path, capsys):
    (words,) = placed_names(tmp_path, capsys, "C", "G", "Am", "D", "F", "E", "--most", most)
    assert len(words) == 6 * int(most)
    rows = {}
    for _, x, y in words:
        rows.setdefault(y, []).append(x)
    assert {len(row) for row in rows.values()} == {in_row}
    assert all(max(row) > 2 * 595 / 3 for row in rows.values())  # A4 is 595 points wide


def test_a_chord_with_fewer_shapes_than_its_neighbour_leaves_a_place_empty(tmp_path, capsys):
    (words,) = placed_names(tmp_path, capsys, "Dm", "E", "--most", "2", "--highest-fret", "2")
    (minor, first, second) = (x for _, x, _ in words)
    assert [name for name, _, _ in words] == ["Dm", "E", "E"]
    assert first - minor == pytest.approx(2 * (second - first), abs=8)


def test_many_shapes_go_over_several_pages(tmp_path, capsys):
    target = tmp_path / "sheet.svg"
    out = said(capsys, "E", "--as", "svg", "--most", "90", "-o", str(target))[1].out.split()
    assert len(out) > 1
    drawn = [(tmp_path / name).read_text("utf-8").count('aria-label="E"') for name in out]
    assert sum(drawn) == 90


def test_a_sheet_names_strings_with_sharps(tmp_path, capsys):
    target = tmp_path / "sheet.pdf"
    assert said(capsys, "C", "--instrument", "guitar-8", "--as", "pdf", "-o", str(target))[0] == 0


def test_lines_can_go_into_a_file(tmp_path, capsys):
    target = tmp_path / "shapes.txt"
    status, spoken = said(capsys, "C", "-o", str(target))
    assert (status, spoken.out.strip()) == (0, str(target))
    assert "x 3 2 0 1 0" in target.read_text("utf-8")


def test_names_of_shapes(capsys):
    out = said(capsys, "--name", "x 3 2 0 1 0", "x02010")[1].out.splitlines()
    assert out[:2] == ["x 3 2 0 1 0   C E G C E", "  C"]
    assert out[2:5] == ["x 0 2 0 1 0   A E G C E", "  Am7", "  C6/A"]


def test_a_shape_without_a_name_says_so(capsys):
    assert "no chord name" in said(capsys, "--name", "0 1 2 3 4 5")[1].out


def test_everything_wrong_is_told_at_once(capsys):
    status, spoken = said(
        capsys, "H7", "N.C.", "--instrument", "gitar", "--tuning", "foo", "--hand", "nobody", "--capo", "99"
    )
    assert status == 1
    assert spoken.out == ""
    lines = spoken.err.splitlines()
    assert len(lines) == 6
    assert all(line.startswith("shapes: ") for line in lines)
    assert 'did you mean "guitar"?' in spoken.err


@pytest.mark.parametrize(
    "arguments",
    [["--tuning", "E2 A2 D3"], ["--tuning", "E2 A2 D3 H3"], ["--instrument", "voice"], ["--capo", "-1"]],
)
def test_impossible_instruments_are_refused(arguments, capsys):
    status, spoken = said(capsys, "C", *arguments)
    assert status == 1
    assert len(spoken.err.splitlines()) == 1


@pytest.mark.parametrize("shape", ["x 3 2 0 1", "x x x x x x", "a b c d e f"])
def test_what_is_no_shape_is_refused(shape, capsys):
    assert said(capsys, "--name", shape)[0] == 1


def test_a_chord_without_a_shape_is_a_warning_and_the_others_are_shown(capsys):
    status, spoken = said(capsys, "C", "C13b9", "--instrument", "ukulele")
    assert status == 0
    assert "no shape of C13b9" in spoken.err
    assert "0 0 0 3" in spoken.out
    assert said(capsys, "C13b9", "--instrument", "ukulele")[0] == 1


@pytest.mark.parametrize(
    "arguments",
    [["--most", "0"], ["--most", "9999"], ["--highest-fret", "0"], ["--as", "doc"], ["--dpi", "1"]],
)
def test_wrong_use_has_status_two(arguments, capsys):
    with pytest.raises(SystemExit) as caught:
        main(["shapes", "C", *arguments])
    assert caught.value.code == 2


def test_a_score_gets_a_shape_for_every_chord_name():
    score, log = read("shapes: auto")
    assert shapes_of(score) == [
        ("G", (3, 2, 0, 0, 0, 3)), ("C", (None, 3, 2, 0, 1, 0)),
        ("G", (3, 2, 0, 0, 0, 3)), ("D7", (None, None, 0, 2, 1, 2)),
    ]  # fmt: skip
    assert [named.name.text for named in score.shapes] == ["G", "C", "D7"]
    assert not log.problems


def test_own_shapes_win():
    score, _ = read("shapes: {G: 3 2 0 0 3 3, others: auto}")
    assert shapes_of(score)[0] == shapes_of(score)[2] == ("G", (3, 2, 0, 0, 3, 3))
    assert shapes_of(score)[1] == ("C", (None, 3, 2, 0, 1, 0))
    assert [named.name.text for named in score.shapes] == ["G", "C", "D7"]


def test_without_auto_nothing_is_found():
    score, _ = read("shapes: {G: 3 2 0 0 3 3}")
    assert shapes_of(score)[1] == ("C", None)


def test_shapes_are_for_the_instrument_of_the_part():
    score, _ = read("instrument: ukulele\nshapes: auto")
    assert shapes_of(score)[1] == ("C", (0, 0, 0, 3))


def test_no_grids_need_no_shapes():
    score, _ = read("shapes: auto\ngrids: none")
    assert score.shapes == ()


def test_a_chord_that_cannot_be_held_is_a_warning_with_its_place():
    score, log = read("instrument: ukulele\nshapes: auto", last="C13b9")
    assert shapes_of(score)[3] == ("C13b9", None)
    (problem,) = log.problems
    assert "C13b9" in problem.what
    assert "measure 2, beat 3" in problem.where


def test_no_chord_needs_no_shape():
    score, log = read("shapes: auto", last="N.C.")
    assert shapes_of(score)[3] == ("N.C.", None)
    assert not log.problems


@pytest.mark.parametrize("head", ["shapes: often", "shapes: {others: some}"])
def test_other_words_than_auto_are_refused(head):
    score, log = read(head)
    assert score is None
    assert log.has_errors


@pytest.mark.parametrize(("head", "loaded"), [("title: A tune", False), ("shapes: auto", True)])
def test_the_search_is_loaded_only_where_it_is_wanted(head, loaded, tmp_path):
    path = tmp_path / "tune.yaml"
    path.write_text(SCORE.format(head=head, last="D7"), "utf-8")
    program = (
        "import sys; from engrave.reading.load import load_score; load_score(sys.argv[1]); "
        "print('engrave.fingering.shapes' in sys.modules)"
    )
    run = subprocess.run(
        [sys.executable, "-c", program, str(path)], capture_output=True, text=True, check=True
    )
    assert run.stdout.strip() == str(loaded)
