"""Every sample in every view and style: drawn without a word of complaint, all ink on the page, nothing on top of anything else."""

from functools import cache

import pytest

from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.document import place_score
from engrave.marks.bounds import measure_page_marks
from engrave.marks.mark import Box
from engrave.marks.role import Role
from engrave.reading.load import load_score
from engrave.resources import data_folder, style_names
from engrave.score.structure import View
from engrave.style.load import load_style

SAMPLES = sorted(
    [*(data_folder() / "samples").glob("*.yaml"), *(data_folder() / "samples" / "signs").glob("*.yaml")]
)
FACES = InstalledFaces()
WORDS = (
    Role.LYRIC,
    Role.CHORD_NAME,
    Role.TEXT,
    Role.TEMPO,
    Role.LABEL,
    Role.ROADMAP,
    Role.MEASURE_NUMBER,
    Role.TITLE,
    Role.SUBTITLE,
    Role.CREDIT,
    Role.ENDING_NUMBER,
    Role.TUNING_TEXT,
    Role.PART_NAME,
    Role.RUNNING_HEAD,
    Role.BEND_AMOUNT,
    Role.TECHNIQUE_LETTER,
    Role.TUPLET_NUMBER,
)
NOTES = (
    Role.NOTEHEAD,
    Role.ACCIDENTAL,
    Role.REST,
    Role.FRET,
    Role.CLEF,
    Role.TIME_SIGNATURE,
    Role.KEY_SIGNATURE,
    Role.DOT,
    Role.FLAG,
)
SOLID = (Role.NOTEHEAD, Role.ACCIDENTAL, Role.REST, Role.FRET, Role.GHOST_PARENTHESIS)


def overlaps(first, second, tolerance):
    """Pairs of boxes (one of each list, or two of one list) that share more than `tolerance` points both ways."""
    pairs = []
    second = sorted(second, key=lambda item: item[1].left)
    for mark, box in first:
        for other, other_box in second:
            if other_box.left > box.right:
                break
            if other is not mark and box.overlaps(other_box, tolerance):
                pairs.append((mark, other))
    return pairs


@cache
def placed(sample, view, style_name):
    score, log = load_score(str(sample))
    assert score is not None, [str(p) for p in log.problems]
    assert not log.problems
    style = load_style(style_name or score.style)[0]
    return place_score(score, style, view), style


@pytest.mark.parametrize("view", list(View), ids=lambda view: view.value)
@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_nothing_is_lost_off_the_page_or_on_top_of_words(sample, view):
    document, style = placed(sample, view, "")
    for page in document.pages:
        marks = [(mark, box) for _, mark, box in measure_page_marks(page, FACES)]
        for mark, box in marks:
            assert min(box.left, box.bottom) >= 0, mark
            assert box.right <= page.width, mark
            assert box.top <= page.height, mark
        words = [(m, b) for m, b in marks if m.role in WORDS]
        notes = [(m, b) for m, b in marks if m.role in NOTES]
        assert not overlaps(words, notes, 0.15 * style.staff_space)
        assert not [
            p
            for p in overlaps(words, words, 0.15 * style.staff_space)
            if p[0].source != p[1].source or p[0].role is not p[1].role
        ]


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_heads_accidentals_rests_and_digits_never_overlap(sample):
    document, style = placed(sample, View.STAFF_AND_TAB, "")
    tolerance = 0.16 * style.staff_space  # heads of a second share the stem's width
    for page in document.pages:
        solid = [(m, b) for _, m, b in measure_page_marks(page, FACES) if m.role in SOLID]
        found = overlaps(solid, solid, tolerance)
        assert not [p for p in found if not _interlocked(p)], found[:1]


def _interlocked(pair):
    """Two accidentals whose cut-out corners reach into each other."""
    return pair[0].role is Role.ACCIDENTAL and pair[1].role is Role.ACCIDENTAL


@pytest.mark.parametrize("style", [name for name in style_names() if name != "base"])
@pytest.mark.parametrize("sample", SAMPLES[::3], ids=lambda path: path.stem)
def test_every_style_draws_inside_its_margins(sample, style):
    document, loaded = placed(sample, None, style)
    points = 72 / 25.4
    for page in document.pages:
        for _, mark, box in measure_page_marks(page, FACES):
            if mark.role in (Role.PAGE_NUMBER, Role.COPYRIGHT, Role.RUNNING_HEAD):
                continue
            side = 3 * loaded.staff_space
            least = min(loaded.paper.margin_inner, loaded.paper.margin_outer) * points
            assert box.left >= least - side, mark
            assert box.right <= page.width - least + side / 3, mark
            assert box.bottom >= loaded.paper.margin_bottom * points - 1, mark


def test_there_are_ten_samples_from_four_lines_to_three_pages():
    lengths = [len(placed(sample, None, "")[0].pages) for sample in SAMPLES]
    assert len(SAMPLES) >= 10
    assert max(lengths) == 3


def test_boxes_overlap_as_boxes_do():
    assert Box(0, 0, 2, 2).overlaps(Box(1, 1, 3, 3))
    assert not Box(0, 0, 2, 2).overlaps(Box(2, 0, 3, 3))
