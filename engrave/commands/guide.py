"""`engrave guide`: the guide drawn from the text that travels with the program."""

from __future__ import annotations

from engrave.commands.make import make_document
from engrave.commands.outcome import Outcome
from engrave.products.product import Progress, silent
from engrave.requests.guide import GuideRequest
from engrave.requests.pages import Looks, MakeRequest
from engrave.resources import guide_file

_USUAL = "guide.pdf"
"""Where the guide goes when nothing else is said: into the folder that the user is in."""


def make_guide(request: GuideRequest, progress: Progress = silent) -> Outcome:
    """Draw the guide as any document is drawn."""
    path = str(guide_file())
    asked = MakeRequest(
        files=(path,), output=request.output or _USUAL, looks=Looks(sheet=request.sheet), quiet=request.quiet
    )
    return make_document(path, asked, progress)
