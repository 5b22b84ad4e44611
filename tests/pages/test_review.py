"""The page that shows what changed."""

from PIL import Image

from tests.pages import pictures, review

PAGE = "paper/chord-grids"
CASE = "dots-stand-in-spaces"


def test_what_is_as_accepted_is_not_shown(tmp_path):
    sheet = review.Review(tmp_path)
    assert [*sheet.sample(PAGE, accept=False), *sheet.case(CASE, show=False, accept=False)] == []
    assert sheet.changed == 0


def test_a_page_that_changed_is_shown_before_and_after(tmp_path, monkeypatch):
    monkeypatch.setattr(pictures, "PICTURES", tmp_path / "accepted")
    (tmp_path / "accepted").mkdir()
    pictures.save_picture(Image.new("L", (292, 413), 255), pictures.picture_file(PAGE, 1))
    sheet = review.Review(tmp_path)
    shown = "".join(sheet.sample(PAGE, accept=True))
    assert sheet.changed == 1
    assert all(f'src="paper-chord-grids-1-{kind}.png"' in shown for kind in ("before", "after", "difference"))
    assert (tmp_path / "paper-chord-grids-1-difference.png").is_file()
    assert [*review.Review(tmp_path).sample(PAGE, accept=False)] == []


def test_all_cases_can_be_shown_with_their_rules(tmp_path):
    shown = "".join(review.Review(tmp_path).case(CASE, show=True, accept=False))
    assert "A dot stands in a space" in shown
    assert (tmp_path / f"case-{CASE}-1.png").is_file()
