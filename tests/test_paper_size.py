"""The sheet of every document is the one asked for, measured in the PDF's MediaBox; margins stay and the music flows anew."""

import io
import json

import pikepdf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.cli import main
from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.musicxml.writer import write_musicxml
from engrave.exchange.text_tab.reader import read_text_tab
from engrave.exchange.text_tab.writer import write_text_tab
from engrave.score.paper_size import SIZES, Orientation, PaperSize, parse_size
from engrave.writing.score_tree import score_tree
from tests.reading.helpers import read

POINTS = 72 / 25.4
BAR = "  - notes: [1/8: [{1: 0}, {2: 1}, {1: 3}, {2: 0}, {1: 0}, {2: 1}, {1: 3}, {2: 0}]]\n"
SCORE = "score: 1\ntitle: Quay\nHEADmeasures:\n" + BAR * 24
HANDOUT = "handout: 1\nHEADcontent:\n  - text: Play.\n  - music: quay.yaml\n"
SONGBOOK = "songbook: 1\ntitle: Songs\nHEADsongs: [quay.yaml, {file: pier.yaml, house-style: {paper: {width: 300}}}]\n"
PAPER = "paper: 1\nHEAD"
DOCUMENTS = pytest.mark.parametrize(
    "text", [SCORE, HANDOUT, SONGBOOK, PAPER], ids=["score", "handout", "songbook", "paper"]
)


def sheets(tmp_path, text, head="", *options):
    """The sides of every page in millimetres."""
    (tmp_path / "quay.yaml").write_text(SCORE.replace("HEAD", "size: A3\n"), "utf-8")
    (tmp_path / "pier.yaml").write_text(SCORE.replace("HEAD", "orientation: landscape\n"), "utf-8")
    path = tmp_path / "document.yaml"
    path.write_text(text.replace("HEAD", head), "utf-8")
    assert main(["make", str(path), "--quiet", "--jobs", "1", *options]) == 0
    boxes = [page.MediaBox for page in pikepdf.open(io.BytesIO(path.with_suffix(".pdf").read_bytes())).pages]
    return {tuple(round(float(side) / POINTS, 1) for side in box[2:]) for box in boxes}


@DOCUMENTS
@pytest.mark.parametrize(
    ("head", "sides"),
    [
        ("", (210, 297)),
        ("size: Letter\n", (215.9, 279.4)),  # ANSI/ASME Y14.1: 8.5 x 11 in
        ("size: a5\norientation: landscape\n", (210, 148)),  # ISO 216
        ("orientation: landscape\n", (297, 210)),
        ("size: 250 x 200 mm\n", (250, 200)),
        ("size: 250x200\norientation: portrait\n", (200, 250)),
    ],
)
def test_every_page_of_every_document_has_the_size_at_its_head(tmp_path, text, head, sides):
    """What handouts and books hold asks for other sheets; the book rules."""
    assert sheets(tmp_path, text, head) == {sides}


@DOCUMENTS
@pytest.mark.parametrize(
    ("options", "sides"),
    [
        (["--size", "A3"], (420, 297)),
        (["--orientation", "portrait"], (215.9, 279.4)),
        (["--size", "Legal", "--orientation", "portrait"], (215.9, 355.6)),
    ],
)
def test_the_command_line_outranks_the_document_key_by_key(tmp_path, text, options, sides):
    assert sheets(tmp_path, text, "size: Letter\norientation: landscape\n", *options) == {sides}


def test_music_flows_anew_between_the_same_margins(tmp_path):
    def right_edges(size):
        sheets(tmp_path, SCORE, f"size: {size}\n", "--trace", str(tmp_path / "trace.json"))

        lines = [
            mark["box"]
            for mark in json.loads((tmp_path / "trace.json").read_text("utf-8"))
            if mark["role"] == "staff-line"
        ]
        return len(lines) // 5, max(box[2] for box in lines)

    (narrow, narrow_right), (wide, wide_right) = right_edges("A5"), right_edges("A3")
    assert narrow > wide
    assert 148 * POINTS - narrow_right == pytest.approx(297 * POINTS - wide_right, abs=0.5)


@pytest.mark.parametrize("text", [SCORE, HANDOUT, SONGBOOK], ids=["score", "handout", "songbook"])
@pytest.mark.parametrize(
    ("head", "said"),
    [
        ("size: A44\n", ':{line}:7: "A44" is not a paper size; did you mean "A4"?'),
        ("size: 10x10\n", ":{line}:7: a sheet of 10 x 10 mm cannot be printed; sides must be 60 to 1200 mm"),
        ("size: 70x200\n", ":{line}:7: the margins leave less than 50 mm of the sheet"),
        ("orientation: sideways\n", '"orientation" cannot be "sideways"'),
    ],
)
def test_impossible_sheets_are_refused_where_they_stand(tmp_path, capsys, text, head, said):
    (tmp_path / "quay.yaml").write_text(SCORE.replace("HEAD", ""), "utf-8")
    (tmp_path / "pier.yaml").write_text(SCORE.replace("HEAD", ""), "utf-8")
    path = tmp_path / "document.yaml"
    path.write_text(text.replace("HEAD", head), "utf-8")
    assert main(["check", str(path)]) == 1
    line = text[: text.index("HEAD")].count("\n") + 1
    assert said.format(line=line) in capsys.readouterr().err


@pytest.mark.parametrize("command", [["make", "x.yaml"], ["paper"]])
def test_an_impossible_size_on_the_command_line_is_wrong_use(command, capsys):
    with pytest.raises(SystemExit) as stop:
        main([*command, "--size", "Lettre"])
    assert stop.value.code == 2
    assert '--size: "Lettre" is not a paper size; did you mean "Letter"?' in capsys.readouterr().err


@given(
    st.one_of(
        st.sampled_from(sorted(SIZES.values())),
        st.tuples(st.integers(60, 1200), st.integers(600, 12000).map(lambda n: n / 10)),
    ),
    st.sampled_from([None, *Orientation]),
)
def test_a_size_written_is_read_back_and_only_ever_turned(sides, orientation):
    size = PaperSize(tuple(map(float, sides)), orientation)
    assert parse_size(size.text) == size.sides
    width, height = size.applied_to((1.0, 2.0))
    assert {width, height} == set(size.sides)
    if orientation is not None and width != height:
        assert (width > height) is (orientation is Orientation.LANDSCAPE)


@pytest.mark.parametrize(
    "head",
    [
        "size: Letter\norientation: landscape\nview: lead-sheet\n",
        "size: 200x250.5\n",
        "orientation: portrait\n",
    ],
)
def test_other_forms_carry_sheet_and_view(head):
    score = read(SCORE.replace("HEAD", head))
    carried = [
        score_tree(score),
        read_text_tab(write_text_tab(score)[0].encode()).tree,
        read_musicxml(write_musicxml(score))[0],
    ]
    for tree in carried:
        wanted = dict(line.split(": ") for line in head.splitlines())
        assert {key: tree.get(key) for key in ("size", "orientation", "view") if key in tree} == wanted
