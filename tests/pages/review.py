"""What changed on the pages, to be looked at: a folder with an HTML page of before, after and difference.

python -m tests.pages.review -o FOLDER             pages of samples and cases that are not as accepted
python -m tests.pages.review -o FOLDER --all       every case with its rule
python -m tests.pages.review -o FOLDER --accept    and takes all changes for right
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from html import escape
from itertools import zip_longest
from pathlib import Path

from PIL import Image, ImageChops

from tests.pages.case_files import (
    case_file,
    case_names,
    dump_case,
    dump_file,
    read_accepted,
    read_rule,
    show_changes,
)
from tests.pages.documents import draw, make
from tests.pages.pictures import (
    accept_pages,
    accepted_files,
    compare,
    draw_pages,
    draw_sample,
    load_picture,
    orphan_files,
    sample_names,
)

_DOTS_PER_INCH = 100
_BORDER = 8
"""White around a case, in pixels."""
_STYLE = """
body { font-family: sans-serif; margin: 2em; max-width: 120em }
img { border: 1px solid #999; vertical-align: top; margin: 0 1em 1em 0; image-rendering: pixelated }
img.page { width: 30% }
ins { color: #06c; text-decoration: none } del { color: #c00; text-decoration: none }
"""
_LEGEND = "Before, after, difference: ink that is gone is <del>red</del>, new ink is <ins>blue</ins>."


class Review:
    """A folder that is being filled with pictures, and the page that shows them."""

    def __init__(self, folder: Path) -> None:
        """Pictures go to `folder`, which is made."""
        self.folder = folder
        self.changed = 0
        folder.mkdir(parents=True, exist_ok=True)

    def _keep(self, picture: Image.Image, name: str, kind: str = "page") -> str:
        """Store a picture; the HTML that shows it."""
        picture.save(self.folder / name)
        return f'<img class="{kind}" src="{name}" alt="{escape(name)}">'

    def sample(self, sample: str, accept: bool) -> Iterator[str]:
        """The pages of a sample that changed."""
        pages = draw_sample(sample)
        accepted = [load_picture(file) for file in accepted_files(sample)]
        for number, (before, after) in enumerate(zip_longest(accepted, pages), 1):
            if before is not None and after is not None and not compare(before, after).matters:
                continue
            self.changed += 1
            known = before or after
            blank = Image.new("L", known.size, 255)
            before, after = before or blank, after or blank
            name = f"{sample.replace('/', '-')}-{number}"
            yield f"<h3>{escape(sample)}, page {number}</h3><p>"
            yield self._keep(before, f"{name}-before.png")
            yield self._keep(after, f"{name}-after.png")
            yield self._keep(_overlay(before, after), f"{name}-difference.png") + "</p>"
        if accept:
            accept_pages(sample, pages)

    def case(self, name: str, show: bool, accept: bool) -> Iterator[str]:
        """A case: its rule and its pages as they are now, and what changed in its dump."""
        dump = dump_case(name)
        changes = show_changes(read_accepted(name), dump)
        self.changed += bool(changes)
        if changes or show:
            yield f"<h3>{escape(name)}</h3><p>{escape(read_rule(name))}</p><p>"
            for number, page in enumerate(draw_pages(draw(make(case_file(name))), _DOTS_PER_INCH), 1):
                yield self._keep(_crop(page), f"case-{name}-{number}.png", "case")
            yield f"</p><pre>{''.join(_colour(line) for line in changes.splitlines())}</pre>"
        if accept:
            dump_file(name).write_text(dump, "utf-8")

    def write(self, lines: list[str]) -> Path:
        """The page; where it lies."""
        file = self.folder / "index.html"
        head = f"<!doctype html><html lang=en><meta charset=utf-8><title>Pages</title><style>{_STYLE}</style>"
        file.write_text("\n".join([head, *lines]), "utf-8")
        return file


def _overlay(before: Image.Image, after: Image.Image) -> Image.Image:
    """Both pictures in one, the common ink in grey."""
    size = max(before.width, after.width), max(before.height, after.height)
    both = []
    for picture in (before, after):
        page = Image.new("L", size, 255)
        page.paste(picture, (0, 0))
        both.append(page)
    old, new = both
    common = ImageChops.lighter(old, new).point([100 + value * 155 // 255 for value in range(256)])
    gone, added = ImageChops.subtract(new, old), ImageChops.subtract(old, new)
    red = ImageChops.subtract(common, added)
    green = ImageChops.subtract(ImageChops.subtract(common, gone), added.point([v // 2 for v in range(256)]))
    return Image.merge("RGB", (red, green, ImageChops.subtract(common, gone)))


def _crop(page: Image.Image) -> Image.Image:
    """A page without the white around its ink."""
    box = ImageChops.invert(page).getbbox() or (0, 0, 1, 1)
    return page.crop((box[0] - _BORDER, box[1] - _BORDER, box[2] + _BORDER, box[3] + _BORDER))


def _colour(line: str) -> str:
    """A line of a diff in its colour."""
    text = escape(line) + "\n"
    if line.startswith(("+", "-")):
        tag = "ins" if line[0] == "+" else "del"
        return f"<{tag}>{text}</{tag}>"
    return text


def main() -> None:
    """Write the page and say where it is."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.pages.review", description=__doc__.partition("\n")[0]
    )
    parser.add_argument(
        "-o", "--output", required=True, type=Path, metavar="FOLDER", help="where the page goes"
    )
    parser.add_argument("--all", action="store_true", help="show every case, changed or not")
    parser.add_argument("--accept", action="store_true", help="take the pages as they are now for right")
    wish = parser.parse_args()
    review = Review(wish.output)
    lines = ["<h1>Pages that changed</h1>", "<h2>Samples</h2>", f"<p>{_LEGEND}</p>"]
    for sample in sample_names():
        lines.extend(review.sample(sample, wish.accept))
    lines.append("<h2>Cases</h2>")
    for name in case_names():
        lines.extend(review.case(name, wish.all, wish.accept))
    if wish.accept:
        for file in orphan_files():
            file.unlink()
    print(f"{review.changed} changed: {review.write(lines)}")


if __name__ == "__main__":
    main()
