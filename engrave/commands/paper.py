"""`engrave paper`: blank paper from options alone."""

from __future__ import annotations

from engrave.commands.make import Job, draw_outcome
from engrave.commands.outcome import Outcome
from engrave.documents.kind import Kind
from engrave.problems import NOWHERE, ProblemLog
from engrave.products.lay_out import lay_out
from engrave.products.product import Source, Work
from engrave.requests.pages import Looks
from engrave.requests.paper import PaperRequest
from engrave.source.tree import SourceMap
from engrave.writing.dump import entry_lines


def make_paper(request: PaperRequest) -> Outcome:
    """Draw blank paper."""
    tree = SourceMap(NOWHERE)
    for key, value in {Kind.PAPER.value: 1, **request.paper.keys()}.items():
        tree.put(key, NOWHERE, value, NOWHERE)
    source = Source("paper", Kind.PAPER, tree, [], ProblemLog("paper"))
    looks = Looks(style=request.style, sheet=request.sheet)
    job = Job(
        path="paper.yaml",
        output=request.output,
        form=request.form,
        dots_per_inch=request.dpi,
        prepress=request.prepress,
        source=_as_document(tree),
    )
    return draw_outcome(source, lay_out(source, looks, Work()), job)


def _as_document(tree: SourceMap) -> bytes:
    """The text of a document that would give the same."""
    lines = [line for key, value in tree.items() for line in entry_lines(key, value, "")]
    return "".join(f"{line}\n" for line in lines).encode("utf-8")
