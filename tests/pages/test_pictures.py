"""Every page of every sample against its accepted picture, coarse but whole.

`python -m tests.pages.review -o FOLDER` shows before, after and difference of all pages that changed; `--accept` takes them.
"""

import pytest
from PIL import Image

from tests.pages.pictures import (
    PICTURES,
    accept_pages,
    accepted_files,
    compare,
    draw_sample,
    load_picture,
    orphan_files,
    sample_names,
    save_picture,
)

SAMPLES = sample_names()
INK = Image.new("L", (3, 3), 0)


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_pages_of_a_sample_look_as_accepted(sample, request):
    pages = draw_sample(sample)
    if request.config.getoption("accept"):
        accept_pages(sample, pages)
    accepted = [load_picture(file) for file in accepted_files(sample)]
    assert len(pages) == len(accepted), "pages; look at them with python -m tests.pages.review -o FOLDER"
    changed = {
        n: d for n, (a, b) in enumerate(zip(accepted, pages, strict=True), 1) if (d := compare(a, b)).matters
    }
    assert not changed, "look at these pages with python -m tests.pages.review -o FOLDER"


def test_every_picture_belongs_to_a_sample(request):
    orphans = orphan_files()
    if request.config.getoption("accept"):
        for file in orphans:
            file.unlink()
    assert [file.name for file in orphans if file.exists()] == []


def test_all_pictures_together_stay_small():
    assert sum(file.stat().st_size for file in PICTURES.glob("*.png")) < 1_500_000


def page_with(*places):
    page = Image.new("L", (60, 40), 255)
    for place in places:
        page.paste(INK, place)
    return page


def test_a_sign_that_jumps_by_a_pixel_is_no_difference():
    """As another version of the renderer may round it; the dumps of the cases see a tenth of that."""
    assert not compare(page_with((10, 10)), page_with((11, 10))).matters


@pytest.mark.parametrize("after", [[], [(10, 10), (30, 30)], [(14, 10)]], ids=["lost", "new", "moved"])
def test_a_sign_lost_or_new_or_moved_is_a_difference(after):
    assert compare(page_with((10, 10)), page_with(*after)).matters


def test_many_signs_that_jump_by_a_pixel_are_a_difference():
    places = [(x, y) for x in range(5, 50, 10) for y in range(5, 30, 10)]
    assert compare(page_with(*places), page_with(*((x + 1, y) for x, y in places))).matters


def test_a_stored_picture_is_read_back_the_same(tmp_path):
    page = draw_sample("lantern-waltz")[0]
    save_picture(page, tmp_path / "page.png")
    assert load_picture(tmp_path / "page.png").tobytes() == page.tobytes()
