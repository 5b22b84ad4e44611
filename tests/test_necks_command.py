"""engrave necks, and necks in handouts and scores: what is told, drawn, written and moved."""

import pdfplumber
import pytest
import yaml

from engrave.cli import main
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from engrave.resources import style_names
from engrave.writing.dump import dump_score
from engrave.writing.score_tree import score_tree

BOX = "A minor pentatonic, position 5"
SCORE = """score: 1
key: A minor
instrument: guitar
measures:
  - neck: A minor pentatonic, position 5
    notes: [1/2: 6:5 6:8]
  - neck: {{show: "C/E arpeggio, frets 0 to 3", labels: notes}}
    notes: [1/2: 5:5 5:7]
  - neck: {own}
    notes: [1/2: 5:5 5:7]
"""
HAND = '{dots: "6:5 root 6:8", arrows: as-written}'


def said(capsys, *arguments):
    status = main(["necks", *arguments])
    return status, capsys.readouterr()


def handout(tmp_path, items, head=""):
    path = tmp_path / "lesson.yaml"
    path.write_text(f"handout: 1\ntitle: Necks\n{head}content:\n{items}", "utf-8")
    return path


def test_a_neck_is_told_string_by_string_from_the_thickest(capsys):
    status, spoken = said(capsys, "E7 arpeggio, strings 4 to 1, frets 7 to 10")
    assert status == 0
    assert spoken.out.splitlines() == [
        "Guitar", "", "E7 arpeggio",
        "  string 4: fret 9 B (5)",
        "  string 3: fret 7 D (b7), fret 9 E (1, root)",
        "  string 2: fret 9 G# (3)",
        "  string 1: fret 7 B (5), fret 10 D (b7)",
    ]  # fmt: skip


def test_open_strings_and_paths_are_told(capsys):
    out = said(capsys, "6:0 root 6:3", "--arrows", "as-written")[1].out
    assert "string 6: open E (root), fret 3 G" in out
    assert "path: 6:0 6:3" in out


def test_yaml_is_an_item_of_a_handout(capsys, tmp_path):
    out = said(capsys, BOX, "6:5 root 6:8", "--tuning", "drop D", "--as", "yaml")[1].out
    found = yaml.safe_load(out)
    assert found == [{"neck": [BOX, {"dots": "6:5 root 6:8"}], "tuning": "drop D"}]
    path = handout(tmp_path, "".join(f"  {line}\n" for line in out.splitlines()))
    assert main(["check", str(path)]) == 0


@pytest.mark.parametrize(("language", "title"), [("en", "Neck diagrams"), ("de", "Griffbrettdiagramme")])
def test_a_sheet_has_its_words_in_its_language(tmp_path, language, title):
    target = tmp_path / "n.pdf"
    assert main(["necks", BOX, "--as", "pdf", "--language", language, "-o", str(target)]) == 0
    with pdfplumber.open(target) as pdf:
        assert title in pdf.pages[0].extract_text()


def test_all_that_is_wrong_is_told_at_once(capsys):
    status, spoken = said(capsys, "A minor pentatonc", "9:5", "--instrument", "guitar")
    assert status == 1
    assert 'did you mean "minor pentatonic"?' in spoken.err
    assert "there is no string 9" in spoken.err


@pytest.mark.parametrize("style", style_names())
def test_necks_are_drawn_in_every_style(tmp_path, style):
    path = handout(
        tmp_path, '  - neck: ["A minor, position 5", {show: "E7 arpeggio, frets 7 to 10", labels: notes}]\n'
    )
    assert main(["make", str(path), "--style", style, "-o", str(tmp_path / "n.pdf")]) == 0


@pytest.mark.parametrize(
    ("item", "place", "what"),
    [
        ("  - neck: A minor pentatnic\n", ":4:11:", 'did you mean "minor pentatonic"?'),
        (
            "  - neck:\n      - A minor, position 5\n      - A minor, strings 9 to 1\n",
            ":6:9:",
            "there is no string 9",
        ),
        ('  - neck: {show: "A minor", labls: notes}\n', ":4:29:", 'did you mean "labels"?'),
        ("  - text: x\n    tuning: DADGAD\n", ":5:5:", '"tuning" does not belong to text'),
        ("  - neck: A minor\n    measures: 1-2\n", ":5:5:", '"measures" does not belong to neck'),
        ("  - neck: A minor, whole neck\n", ":4:11:", "show fewer frets"),
    ],
)
def test_what_is_wrong_in_a_handout_is_told_with_its_place(tmp_path, capsys, item, place, what):
    path = handout(tmp_path, item, head="style: large-print\n" if "whole" in item else "")
    place = place.replace(":4:", ":5:") if "whole" in item else place
    assert main(["check", str(path)]) == 1
    told = capsys.readouterr()
    line = next(line for line in (told.out + told.err).splitlines() if what in line)
    assert place in line


def test_an_upright_neck_that_is_too_wide_beside_another_is_told(tmp_path, capsys):
    neck = '    - neck: {show: "A minor, frets 1 to 12", direction: upright}\n'
    path = handout(tmp_path, "  - beside:\n" + neck * 4, head="style: large-print\n")
    assert main(["check", str(path)]) == 1
    assert "strings need" in capsys.readouterr().err


def test_a_named_neck_is_an_example_that_the_text_can_name(tmp_path):
    items = "  - text: See [](#box).\n  - neck: A minor, position 5\n    name: box\n    caption: Box 1\n"
    target = tmp_path / "n.pdf"
    assert main(["make", str(handout(tmp_path, items)), "-o", str(target)]) == 0
    with pdfplumber.open(target) as pdf:
        text = pdf.pages[0].extract_text()
    assert "See Example 1" in text
    assert "Example 1: Box 1" in text


def read(text):
    log = ProblemLog("score")
    return read_text_score(text, log), log


def requests_of(score):
    return [content.neck.request for content in score.parts[0].measures]


def test_necks_of_a_score_are_written_back():
    score, _ = read(SCORE.format(own=HAND))
    again, _ = read(dump_score(score_tree(score)))
    assert requests_of(again) == requests_of(score)
    assert [content.neck.diagram for content in again.parts[0].measures] == [
        content.neck.diagram for content in score.parts[0].measures
    ]


def test_a_wrong_neck_of_a_score_is_told_with_part_and_measure():
    score, log = read(SCORE.format(own="A minor, positon 5"))
    assert score is None
    (problem,) = log.in_order()
    assert (problem.location.line, problem.location.column) == (9, 11)
    assert problem.where == "Guitar, measure 3"


def moved(tmp_path, *how, own=HAND):
    path = tmp_path / "song.yaml"
    path.write_text(SCORE.format(own=own), "utf-8")
    assert main(["place", str(path), "-o", str(tmp_path / "out.yaml"), "--quiet", *how]) == 0
    written = yaml.safe_load((tmp_path / "out.yaml").read_text("utf-8"))
    return [measure.get("neck") for measure in written["measures"]]


def test_another_key_moves_necks_with_their_position(tmp_path, capsys):
    necks = moved(tmp_path, "--key", "C minor")
    assert necks[0] == "C minor pentatonic, position 8"
    assert necks[1] == {"show": "Eb/G arpeggio, frets 0 to 3", "labels": "notes"}
    assert necks[2] == {"dots": "6:5 root 6:8", "arrows": "as-written"}
    assert "the dots of the neck diagram by hand stay where they are" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("key", "neck"),
    [
        ("E minor", "E minor, frets 12 to 15"),  # five frets lower there is no neck: an octave higher
        ("B minor", "B minor, frets 7 to 10"),
    ],
)
def test_frets_move_along_the_neck_or_by_an_octave(tmp_path, key, neck):
    found = moved(tmp_path, "--key", key, own="A minor, frets 5 to 8")[2]
    assert found == neck


def test_another_tuning_keeps_the_words(tmp_path):
    assert moved(tmp_path, "--tuning", "DADGAD")[0] == BOX


def test_dots_that_the_new_instrument_lacks_are_left_out_and_told(tmp_path, capsys):
    necks = moved(tmp_path, "--instrument", "ukulele", "--fit")
    assert necks[2] is None
    assert "there is no string 6" in capsys.readouterr().err


@pytest.mark.parametrize("form", ["musicxml", "text"])
def test_forms_without_necks_tell_what_is_lost(tmp_path, capsys, form):
    path = tmp_path / "song.yaml"
    path.write_text(SCORE.format(own=HAND), "utf-8")
    assert main(["write", str(path), "--as", form, "-o", str(tmp_path / "out")]) == 0
    assert "neck diagrams are lost" in capsys.readouterr().err
