"""The difficulty of music on the pages of handouts and books."""

import json
import re

import pdfplumber
import pytest

from engrave.cli import main

EASY = "score: 1\ntitle: Calm Water\nmeasures:\n  - notes: [1/1: {1: 0}]\n  - notes: [1/1: {2: 1}]\n"
HARD = (
    "score: 1\ntitle: White Water\ntempo: 1/4 = 160\nmeasures:\n  - notes: [1/16: ["
    + ", ".join(["{1: 1}", "{1: 5}", "{2: 8}", "{1: 12}"] * 4)
    + "]]\n"
)


def marks(path, role):
    return [mark for mark in json.loads(path.read_text("utf-8")) if mark["role"] == role]


def test_a_handout_shows_a_bar_for_every_measure_that_has_music(tmp_path):
    (tmp_path / "easy.yaml").write_text(EASY, "utf-8")
    sheet = tmp_path / "sheet.yaml"
    sheet.write_text("handout: 1\ncontent:\n  - music: easy.yaml\n    difficulty: true\n", "utf-8")
    assert main(["make", str(sheet), "--trace", str(tmp_path / "trace.json"), "--quiet"]) == 0
    found = marks(tmp_path / "trace.json", "difficulty")
    assert len([mark for mark in found if mark["kind"] == "polygon"]) == 2


def test_harder_measures_have_higher_bars(tmp_path):
    text = HARD.replace("title: White Water\n", "") + "  - notes: [1/1: {1: 0}]\n"
    (tmp_path / "both.yaml").write_text(text, "utf-8")
    sheet = tmp_path / "sheet.yaml"
    sheet.write_text("handout: 1\ncontent:\n  - music: both.yaml\n    difficulty: true\n", "utf-8")
    assert main(["make", str(sheet), "--trace", str(tmp_path / "trace.json"), "--quiet"]) == 0
    bars = [mark for mark in marks(tmp_path / "trace.json", "difficulty") if mark["kind"] == "polygon"]
    heights = [mark["box"][3] - mark["box"][1] for mark in bars]
    assert heights[0] > heights[1] > 0


def strip_of(tmp_path, count):
    (tmp_path / "many.yaml").write_text(
        "score: 1\nmeasures:\n" + "  - notes: [1/4: [{1: 1}, {1: 5}, {2: 8}, {1: 12}]]\n" * count, "utf-8"
    )
    sheet = tmp_path / "sheet.yaml"
    sheet.write_text("handout: 1\ncontent:\n  - music: many.yaml\n    difficulty: true\n", "utf-8")
    assert main(["make", str(sheet), "--trace", str(tmp_path / "trace.json"), "--quiet"]) == 0
    found = marks(tmp_path / "trace.json", "difficulty")
    return [m["box"] for m in found if m["kind"] == "polygon"], [
        m["box"] for m in found if m["kind"] == "line"
    ]


@pytest.mark.parametrize("count", [7, 12, 40])
def test_the_strip_is_as_wide_as_the_music_and_its_bars_stand_on_a_line_that_shows(tmp_path, count):
    bars, lines = strip_of(tmp_path, count)
    staff = marks(tmp_path / "trace.json", "staff-line")
    assert max(line[2] for line in lines) == pytest.approx(max(mark["box"][2] for mark in staff), abs=1)
    foot = min(lines, key=lambda box: box[1])
    assert len(bars) == count
    assert all(box[1] == pytest.approx(foot[3], abs=0.01) for box in bars)


def test_the_strip_is_high_enough_to_tell_levels_apart(tmp_path):
    """A tenth of its height, one level, is at least a millimetre (house rule)."""
    _, lines = strip_of(tmp_path, 7)
    assert max(box[3] for box in lines) - min(box[1] for box in lines) >= 10 * 72 / 25.4


def test_music_without_strings_has_no_strip(tmp_path, capsys):
    (tmp_path / "song.yaml").write_text(
        "score: 1\ninstrument: voice\nmeasures:\n  - notes: [1/1: C5]\n", "utf-8"
    )
    sheet = tmp_path / "sheet.yaml"
    sheet.write_text("handout: 1\ncontent:\n  - music: song.yaml\n    difficulty: true\n", "utf-8")
    assert main(["make", str(sheet)]) == 1
    assert "without strings has no difficulty" in capsys.readouterr().err


def test_a_book_lists_its_songs_from_the_easiest_on(tmp_path):
    (tmp_path / "a.yaml").write_text(HARD, "utf-8")
    (tmp_path / "b.yaml").write_text(EASY, "utf-8")
    book = tmp_path / "book.yaml"
    book.write_text("songbook: 1\ntitle: Waters\nsongs: [a.yaml, b.yaml]\nindexes: [difficulty]\n", "utf-8")
    assert main(["make", str(book), "--quiet", "--jobs", "1"]) == 0
    with pdfplumber.open(tmp_path / "book.pdf") as pdf:
        words = pdf.pages[-1].extract_text()
    levels = [float(level) for level in re.findall(r"\(([\d.]+) / 10\)", words)]
    assert words.index("Calm Water") < words.index("White Water")
    assert len(levels) == 2
    assert levels[0] < levels[1]


def test_under_one_line_of_an_excerpt_each_bar_stands_under_its_measure_and_the_first_is_numbered(tmp_path):
    (tmp_path / "many.yaml").write_text(
        "score: 1\nmeasures:\n" + "  - notes: [1/4: [{1: 1}, {1: 5}, {2: 8}, {1: 12}]]\n" * 6, "utf-8"
    )
    sheet = tmp_path / "sheet.yaml"
    sheet.write_text(
        "handout: 1\ncontent:\n  - music: many.yaml\n    measures: 4-5\n    difficulty: true\n", "utf-8"
    )
    assert main(["make", str(sheet), "--trace", str(tmp_path / "trace.json"), "--quiet"]) == 0
    found = json.loads((tmp_path / "trace.json").read_text("utf-8"))
    bars = [m["box"] for m in found if m["role"] == "difficulty" and m["kind"] == "polygon"]
    heads = [(m["box"][0] + m["box"][2]) / 2 for m in found if m["role"] == "notehead"]
    for bar, notes in zip(bars, (heads[:4], heads[4:]), strict=True):
        assert min(notes) < (bar[0] + bar[2]) / 2 < max(notes)
    assert [m["text"] for m in found if m["role"] == "measure-number"] == ["4", "4", "5"]
    assert {"5", "10"} <= {m["text"] for m in found if m["role"] == "caption"}
