"""What is asked of a new document."""

from __future__ import annotations

from engrave.documents.kind import Kind
from engrave.requests.option import option, request
from engrave.requests.pages import quiet_option
from engrave.requests.targets import STREAM, check_ending


@request
class NewRequest:
    """Write a document to start from: short, with comments that say what may be changed, and right as it is."""

    kind: Kind = option(", ".join(kind.value for kind in Kind), flag="", value="KIND", choices=Kind)
    output: str = option(
        "write to this file; - for standard output",
        flag="-o",
        value="FILE",
        default="",
        usual="KIND.yaml in this folder",
    )
    quiet: bool = quiet_option()

    def find_misuse(self) -> str:
        """What is wrong with the name of the file; "" when nothing is."""
        if self.output == STREAM and self.kind is Kind.SONGBOOK:
            return "a songbook starts with a song in a file of its own: name a file with -o"
        return check_ending(self.output, "yaml", choice=False) if self.output else ""
