"""Contents and indexes of a book: groups stay together, leaders end at one place."""

from hypothesis import example, given, settings
from hypothesis import strategies as st

from engrave.documents.songbook import Songbook
from engrave.layout.songbook.pages import BookPages, Row
from engrave.marks.mark import Text
from engrave.marks.role import Role
from engrave.style.load import load_style

BOOK_STYLE = load_style("songbook")[0]
LOW_PAGES = BOOK_STYLE._replace(paper=BOOK_STYLE.paper._replace(height=110))
"""Pages a third as high, so that few rows fill many of them."""


def list_pages(groups, style=BOOK_STYLE):
    """The texts of the pages of one index with `groups` of so many songs each."""
    rows = []
    for number, count in enumerate(groups):
        rows.append(Row(f"Key {number}", is_heading=True))
        rows.extend(Row(f"Song {number}.{index}", (7,), depth=1) for index in range(count))
    empty = Songbook("Book", "", "", "en", "songbook", False, True, (), (), ())
    pages = BookPages(empty, style).lists([("Keys", "index-key", rows)])
    return [
        [
            m.text
            for g in page.groups
            for m in g.marks
            if isinstance(m, Text) and m.role in (Role.CONTENTS, Role.HEADING) and m.text != "7"
        ]
        for page in pages
    ]


@given(st.lists(st.integers(1, 40), min_size=1, max_size=8))
@settings(max_examples=60)
@example([90, 89, 1, 2, 3])
def test_groups_of_an_index_are_never_torn_at_one_row_and_go_on_under_their_heading(groups):
    pages = list_pages(groups, LOW_PAGES)
    for page in pages[1:]:
        assert page[0].startswith("Key ")
    for page in pages:
        assert not page[-1].startswith("Key")
        for text in (page[-1], page[1]):
            number = text.split()[1].split(".")[0]
            assert number == "0" or sum(row.startswith(f"Song {number}.") for row in page) >= min(
                2, groups[int(number)]
            )
    songs = [text for page in pages for text in page if text.startswith("Song")]
    assert songs == [
        f"Song {number}.{index}" for number, count in enumerate(groups) for index in range(count)
    ]


def test_a_heading_says_that_its_group_goes_on():
    pages = list_pages([90])
    assert pages[0][0] == "Keys"
    assert pages[1][0] == "Key 0 (continued)"


def test_all_leaders_of_a_list_end_at_one_place():
    """Common practice, no source."""
    empty = Songbook("Book", "", "", "en", "songbook", False, True, (), (), ())
    rows = [Row("Low Tide", (7,)), Row("High Tide", (112,)), Row("Slack Water", (23,))]
    (page,) = BookPages(empty, load_style("songbook")[0]).lists([("Titles", "index-title", rows)])
    ends = {
        max(m.x for m in group.marks if m.role is Role.LEADER)
        for group in page.groups
        if any(m.role is Role.LEADER for m in group.marks)
    }
    assert len(ends) == 1


def test_short_groups_stay_whole_and_the_last_page_does_not_hold_a_few_rows_alone():
    pages = list_pages([3] * 11)
    assert all(page[0].startswith("Key") for page in pages)
    assert len([text for page in pages for text in page if text.startswith("Key ")]) == 11
    assert len(pages[-1]) >= 8
