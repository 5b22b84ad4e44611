"""What is asked of the guide."""

from __future__ import annotations

from engrave.requests.option import group, option, request
from engrave.requests.pages import Format, SheetSize, quiet_option
from engrave.requests.targets import check_ending


@request
class GuideRequest:
    """Write the guide to Engrave as a PDF: from one measure to a book, with recipes and a reference."""

    output: str = option(
        "write to this file, or into this folder; - for standard output",
        flag="-o",
        value="PATH",
        default="",
        usual="guide.pdf",
    )
    sheet: SheetSize = group(default_factory=SheetSize)
    quiet: bool = quiet_option()

    def find_misuse(self) -> str:
        """What is wrong with the name of the result; "" when nothing is."""
        return check_ending(self.output, Format.PDF.value, choice=False)
