"""What stands at the head of a page makes room for itself: nothing is overprinted or leaves the margins (common practice, no source)."""

import pytest

from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import wrap, wrap_evenly
from engrave.marks.mark import Text
from engrave.marks.role import Role
from tests.made import place

LONG = "The Society of Friends of the Old Harbour Bell and of Its Ringers"
WORDS = "Quite slowly but never dragging, and with plenty of feeling through the whole of the piece"


def texts(document, role, page=0):
    """Text, left, right, baseline and size of each text of a role, in points."""
    found = []
    for group in document.pages[page].groups:
        for mark in group.marks:
            if isinstance(mark, Text) and mark.role is role:
                width = text_face(mark.face).width(mark.text, mark.size) * group.scale
                x, y = group.x + mark.x * group.scale, group.y + mark.y * group.scale
                found.append((mark.text, x, x + width, y, mark.size * group.scale))
    return found


def placed(tmp_path, text):
    path = tmp_path / "a.yaml"
    path.write_text(text, "utf-8")
    document, outcome = place(path)
    assert document is not None, [str(problem) for problem in outcome.problems]
    return document


def score(tmp_path, head="", measures="  - {notes: [1/4: 1:0 1:2 2:3 3:0]}\n" * 4):
    return placed(tmp_path, f"score: 1\n{head}\nmeasures:\n{measures}")


@pytest.mark.parametrize("count", [1, 3])
def test_long_credits_stand_under_each_other(tmp_path, count):
    name = " ".join([LONG] * count)
    document = score(tmp_path, f"credits: {{words: {name}, music: Somebody and {name}}}")
    lines = texts(document, Role.CREDIT)
    assert len({round(line[3], 2) for line in lines}) == len(lines)
    assert all(line[1] >= 0 and line[2] <= document.pages[0].width for line in lines)


def test_short_credits_share_a_line(tmp_path):
    one, other = texts(score(tmp_path, "credits: {words: Ann, music: Ben}"), Role.CREDIT)
    assert one[3] == other[3]
    assert one[2] < other[1]


def test_a_long_title_is_broken_and_stays_larger_than_its_subtitle(tmp_path):
    document = score(tmp_path, f"title: {LONG} and of the Ferry\nsubtitle: quiet")
    titles, (subtitle,) = texts(document, Role.TITLE), texts(document, Role.SUBTITLE)
    assert len(titles) == 2
    assert all(title[4] > subtitle[4] for title in titles)
    assert titles[0][3] > titles[1][3] > subtitle[3]


def test_a_tempo_without_room_is_broken_over_its_measure(tmp_path):
    document = score(tmp_path, f"tempo: {WORDS} from the very first measure, 1/4 = 66")
    lines = [line for line in texts(document, Role.TEMPO) if line[0][0].isalpha()]
    paper = document.pages[0].width
    assert len(lines) > 1
    assert all(line[2] <= paper - 15 * 72 / 25.4 + 0.01 for line in lines)


def test_a_tempo_over_the_last_measure_does_not_start_before_it(tmp_path):
    plain = "  - {notes: [1/4: 1:0 1:2 2:3 3:0]}\n"
    last = "  - {notes: [1/4: 1:0 1:2 2:3 3:0], tempo: 'A little slower than before, 1/4 = 60'}\n"
    document = score(tmp_path, "", plain * 3 + last)
    barlines = [
        group.x + mark.x1 * group.scale
        for group in document.pages[0].groups
        for mark in group.marks
        if mark.role is Role.BARLINE
    ]
    before_last = sorted({round(x) for x in barlines})[-3]
    first = texts(document, Role.TEMPO)[0]
    assert first[1] >= before_last - 2


def test_the_lesson_stands_over_the_name_where_there_is_no_room_beside(tmp_path):
    head = "handout: 1\nstudent: true\nlesson: 12b\nlevel: {}\ncontent: [text: Hello]\n"
    for level, beside in (
        ("beginners", True),
        ("Second-year evening class, between intermediate and advanced", False),
    ):
        document = placed(tmp_path, head.format(level))
        (about,), (name,) = texts(document, Role.SUBTITLE), texts(document, Role.CREDIT)
        assert (about[3] == name[3]) is beside
        assert about[2] <= name[1] or about[3] > name[3] + name[4]


def test_no_last_word_is_left_alone():
    text = "Songs of many harbours and the people who left them"
    width = text_face("serif").width("Songs of many harbours and the people who left", 10)
    assert wrap(text, "serif", 10, width)[-1] == "them"
    assert wrap_evenly(text, "serif", 10, width)[-1] != "them"


def test_a_word_wider_than_the_line_is_cut():
    lines = wrap("a" * 100, "serif", 10, 60)
    assert "".join(lines) == "a" * 100
    assert all(text_face("serif").width(line, 10) <= 60 for line in lines)


@pytest.mark.parametrize("as_", ["", ", as: chord-sheet"])
def test_a_song_keeps_its_copyright_in_a_book(tmp_path, as_):
    from io import BytesIO

    import pypdfium2

    from tests.made import make

    song = (
        'score: 1\ntitle: Bell\ncopyright: "© 2026 Nobody"\nmeasures: [{notes: [1/1: 1:0], lyrics: Ring}]\n'
    )
    (tmp_path / "song.yaml").write_text(song, "utf-8")
    book = tmp_path / "book.yaml"
    book.write_text(f"songbook: 1\ntitle: B\nsongs: [{{file: song.yaml{as_}}}]\n", "utf-8")
    assert not make(book, output=str(tmp_path / "book.pdf")).failed
    pages = pypdfium2.PdfDocument(BytesIO((tmp_path / "book.pdf").read_bytes()))
    assert sum("© 2026 Nobody" in page.get_textpage().get_text_range() for page in pages) == 1
