"""Blank paper: what is measured on the finished PDF, in millimetres, is what was asked for."""

import io
from itertools import pairwise

import pdfplumber
import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.cli import main
from engrave.drawing.pdf.draw import draw_pdf
from engrave.layout.blank_sheet import place_paper
from engrave.layout.blank_systems import Misfit, fit_systems
from engrave.marks.role import Role
from engrave.problems import ProblemLog
from engrave.reading.load import read_tree
from engrave.reading.paper_reader import read_paper
from engrave.resources import data_folder
from engrave.source.schema import check_form
from engrave.style.load import load_style

STYLE = load_style("")[0]
POINTS = 72 / 25.4


def paper(text):
    log = ProblemLog("f")
    tree = read_tree("paper: 1\n" + text, log)
    assert check_form(tree, "paper", log), [str(p) for p in log.problems]
    found = read_paper(tree, log)
    return found, [str(p) for p in log.problems]


def drawn(text):
    found, problems = paper(text)
    assert not problems
    return pdfplumber.open(io.BytesIO(draw_pdf(place_paper(found, STYLE)))).pages


def lines(page, upright=False):
    """(position, length) of every horizontal (or upright) line in millimetres from the top left."""
    found = []
    for line in page.lines:
        horizontal = abs(line["top"] - line["bottom"]) < 0.01
        if horizontal is not upright:
            if upright:
                found.append((line["x0"] / POINTS, (line["bottom"] - line["top"]) / POINTS))
            else:
                found.append((line["top"] / POINTS, (line["x1"] - line["x0"]) / POINTS))
    return sorted(found)


@pytest.mark.parametrize(
    ("size", "width", "height"),
    [
        ("A3", 297, 420),
        ("A4", 210, 297),
        ("A5", 148, 210),
        ("Letter", 215.9, 279.4),
        ("Legal", 215.9, 355.6),
        ("200x250", 200, 250),
    ],
)  # ISO 216; ANSI/ASME Y14.1 (8.5 x 11 in); Legal 8.5 x 14 in: common practice, no source
def test_sheets_have_their_size_upright_and_lying(size, width, height):
    (page,) = drawn(f"size: {size}\n")
    assert (page.width / POINTS, page.height / POINTS) == pytest.approx((width, height), abs=0.01)
    (page,) = drawn(f"size: {size}\norientation: landscape\n")
    assert (page.width / POINTS, page.height / POINTS) == pytest.approx((height, width), abs=0.01)


@pytest.mark.parametrize("strings", [4, 5, 6, 7, 8])
@pytest.mark.parametrize("distance", [2.6, 3.0])
def test_a_tab_has_its_strings_at_the_wished_distance(strings, distance):
    (page,) = drawn(f"strings: {strings}\nsystems: 6\nline-distance: {distance}\n")
    ys = [y for y, _ in lines(page)]
    assert len(ys) == 6 * strings
    for system in range(6):
        row = ys[system * strings : (system + 1) * strings]
        assert [b - a for a, b in pairwise(row)] == pytest.approx([distance] * (strings - 1), abs=0.02)


def test_ten_tabs_of_six_lines_fit_on_a4_at_the_usual_distance():
    """2.6 mm lines are 13 mm high; with 14 mm between systems, ten of them need 256 of the 267 mm (computed)."""
    (page,) = drawn("line-distance: 2.6\n")
    assert len(lines(page)) == 10 * 6


def test_a_staff_stands_over_each_tab():
    (page,) = drawn("strings: 6\nstaff: true\nsystems: 4\n")
    assert len(lines(page)) == 4 * (5 + 6)


@pytest.mark.parametrize(
    ("holes", "size", "heights"),
    [
        ("two", "A4", [108.5, 188.5]),
        ("four", "A4", [28.5, 108.5, 188.5, 268.5]),
        ("three", "Letter", [31.7, 139.7, 247.7]),
        ("two", "A5", [65.0, 145.0]),
    ],
)  # ISO 838: 80 mm apart about the middle, 12 mm from the edge; three holes 108 mm apart
def test_holes_are_marked_where_a_punch_makes_them(holes, size, heights):
    (page,) = drawn(f"size: {size}\nholes: {holes}\nstrings: 6\n")
    crosses = [(y, length) for y, length in lines(page) if length < 5]
    assert [y for y, _ in crosses] == pytest.approx(heights, abs=0.05)
    assert all(
        line["x0"] / POINTS == pytest.approx(12 - 1.5, abs=0.05)
        for line in page.lines
        if line["x1"] < 15 * POINTS and line["top"] == line["bottom"]
    )
    assert (
        min(line["x0"] for line in page.lines if line["x1"] - line["x0"] > 50) / POINTS >= 20
    )  # clear of the holes


def test_measures_divide_the_systems_equally_beyond_the_clef():
    (page,) = drawn("strings: 6\nsystems: 1\nmeasures: 4\nclef: false\n")
    xs = sorted({round(x, 2) for x, _ in lines(page, upright=True)})
    assert [b - a for a, b in pairwise(xs)] == pytest.approx([45.0] * 4, abs=0.02)


def test_grey_paper_and_several_pages():
    pages = drawn("ink: grey\npages: 3\n")
    assert len(pages) == 3
    assert {str(line["stroking_color"]).strip("(),") for line in pages[2].lines} == {"0.5"}


@pytest.mark.parametrize(
    "sample", sorted((data_folder() / "samples" / "paper").glob("*.yaml")), ids=lambda path: path.stem
)
def test_the_samples_are_drawn(sample):
    text = sample.read_text("utf-8").split("paper: 1\n")[1]
    assert drawn(text)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("size: A44\n", 'did you mean "A4"'),
        ("size: 10x10\n", "cannot be printed"),
        ("size: 90x90\nholes: two\n", "has no room for two holes"),
        ("strings: 7\ntuning: drop D\n", "the tuning has 6 strings, and 7 are asked for"),
        ("strings: 0\nkinds: [tab]\n", "a tab needs strings"),
        (
            "instrument: ukulele\nstrings: 6\n",
            "f:3:10: the ukulele has 4 strings, and 6 are asked for; remove strings:",
        ),
        (
            "instrument: ukelele\n",
            'f:2:13: "ukelele" is not an instrument known here; did you mean "ukulele"?',
        ),
        ("instrument: voice\nkinds: [staff, tab]\n", "f:2:13: a tab needs strings, and the voice has none"),
        ("instrument: voice\nkinds: [chord-grids]\n", "a chord grid needs strings"),
        ("instrument: voice\nstrings: 6\n", "the voice has no strings, and 6 are asked for"),
        ("strings: 0\nstaff: false\n", "this paper would be empty"),
    ],
)
def test_impossible_papers_are_refused(text, message):
    found, problems = paper(text)
    assert found is None
    assert message in problems[0]


@pytest.mark.parametrize(
    ("text", "letters", "clef"),
    [
        ("instrument: ukulele\n", "AECG", "gClef"),
        ("instrument: banjo\n", "DBGDG", "gClef8vb"),
        ("instrument: baritone-ukulele\nstrings: 4\n", "EBGD", "gClef8vb"),
        ("instrument: guitar\ntuning: DADGAD\n", "DAGDAD", "gClef8vb"),
        ("tuning: bass drop D\n", "GDAD", "fClef"),
    ],
)  # tunings from the highest line down: common practice, no source
def test_an_instrument_gives_strings_letters_and_clef(text, letters, clef):
    found, problems = paper(f"{text}staff: true\nstring-names: true\nsystems: 1\n")
    assert not problems
    marks = place_paper(found, STYLE).pages[0].groups[0].marks
    named = sorted((mark for mark in marks if mark.role is Role.STRING_NAME), key=lambda mark: -mark.y)
    assert "".join(mark.text for mark in named) == letters
    assert len([mark for mark in marks if mark.role is Role.TAB_LINE]) == len(letters)
    assert {mark.name for mark in marks if mark.role is Role.CLEF} == {clef, f"{len(letters)}stringTabClef"}


def test_paper_for_a_voice_is_staves():
    found, problems = paper("instrument: voice-bass\nsystems: 2\n")
    assert not problems
    marks = place_paper(found, STYLE).pages[0].groups[0].marks
    assert [mark.name for mark in marks if mark.role is Role.CLEF] == ["fClef", "fClef"]


def test_an_instrument_on_the_command_line(tmp_path, capsys):
    target = tmp_path / "paper.pdf"
    assert (
        main(["paper", "--instrument", "banjo", "--systems", "1", "--no-clef", "--quiet", "-o", str(target)])
        == 0
    )
    (page,) = pdfplumber.open(target).pages
    assert len(lines(page)) == 5
    assert main(["paper", "--instrument", "banjo", "--strings", "6", "-o", str(target)]) == 1
    assert "the banjo has 5 strings, and 6 are asked for" in capsys.readouterr().err


def test_an_impossible_wish_is_answered_with_what_would_fit():
    found, _ = paper("size: A5\nstrings: 7\nsystems: 9\nline-distance: 4\n")
    with pytest.raises(Misfit) as misfit:
        fit_systems(found, STYLE.blank)
    assert str(misfit.value) == "9 systems with lines 4 mm apart need 272 mm, and the sheet has 180"
    assert misfit.value.hint.startswith("6 systems fit at 4 mm and 9 systems fit at 2.2")


@given(st.integers(1, 12), st.sampled_from([4, 6, 7]), st.booleans(), st.sampled_from(["A4", "A5", "A3"]))
def test_what_fits_stays_inside_the_margins_and_what_does_not_is_said(systems, strings, staff, size):
    found, _ = paper(f"size: {size}\nstrings: {strings}\nstaff: {str(staff).lower()}\nsystems: {systems}\n")
    try:
        (page,) = place_paper(found, STYLE).pages
    except Misfit as misfit:
        assert "fit" in misfit.hint  # noqa: PT017 - one of the two happens, the example decides which
        return
    ys = [mark.y1 for mark in page.groups[0].marks if hasattr(mark, "y1")]
    assert min(ys) >= 15 - 1e-6
    assert max(ys) <= found.height - 15 + 1e-6


def test_lines_that_may_not_come_closer_are_a_misfit():
    """A style whose least distance is its usual one leaves nothing to narrow."""
    found, _ = paper("size: A5\nsystems: 20\n")
    tight = STYLE.blank._replace(least_tab_line_distance=STYLE.blank.tab_line_distance)
    with pytest.raises(Misfit, match="20 systems"):
        fit_systems(found, tight)


def test_margins_are_those_of_the_style():
    wide = STYLE._replace(blank=STYLE.blank._replace(margin_inner=40.0, margin_outer=30.0, margin_top=50.0))
    found, _ = paper("strings: 6\nclef: false\nsystems: 1\n")
    (page,) = place_paper(found, wide).pages
    (group,) = page.groups
    first = next(mark for mark in group.marks if mark.role is Role.TAB_LINE)
    assert (first.x1, first.x2, first.y1) == (40.0, 210 - 30.0, 297 - 50.0)


def test_margins_wider_than_the_sheet_are_a_misfit():
    wide = STYLE.blank._replace(margin_inner=150.0, margin_outer=60.0)
    found, _ = paper("strings: 6\n")
    with pytest.raises(Misfit, match="210 mm wide has no room between margins of 150 and 60"):
        fit_systems(found, wide)
