"""Method books written for tests, and their pages read back."""

import io

import pypdf

from engrave.marks.mark import Text
from engrave.resources import data_folder
from tests import made

SAMPLE = data_folder() / "samples" / "books" / "first-walks.yaml"
NOTE = "{measures: [{notes: [1/1: '1:0']}]}"


def book(folder, chapters, head="", **files):
    """A book of `chapters`, with chapter files beside it."""
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, "utf-8")
    path = folder / "book.yaml"
    path.write_text(f"method: 1\n{head}chapters:\n{chapters}", "utf-8")
    return path


def chapter(title, *items, name=""):
    called = f"    name: {name}\n" if name else ""
    return f"  - title: {title}\n{called}    content:\n" + "".join(f"      - {item}\n" for item in items)


def example(caption="", name="", more="", music=NOTE):
    parts = [f"music: {music}", caption and f"caption: {caption}", name and f"name: {name}", more]
    return "{" + ", ".join(part for part in parts if part) + "}"


def read_back(path, **values):
    """The finished file as a reader opens it."""
    outcome = made.make(path, output=str(path.with_suffix(".pdf")), **values)
    assert not outcome.failed, [str(problem) for problem in outcome.problems]
    return pypdf.PdfReader(io.BytesIO(path.with_suffix(".pdf").read_bytes()))


def texts(reader):
    """The words of each page, blanks between words alike."""
    return [" ".join(page.extract_text().split()) for page in reader.pages]


def links(reader):
    """Every link inside the file: the page that it stands on and the page that it leads to, from 1."""
    numbers = {page.indirect_reference.idnum: number for number, page in enumerate(reader.pages, start=1)}
    for number, page in enumerate(reader.pages, start=1):
        for note in page.get("/Annots", []):
            target = note.get_object().get("/Dest")
            if target is not None:
                yield number, numbers[target[0].idnum]


def problems(path, **values):
    return [str(problem).replace(f"{path.parent}/", "") for problem in made.check(path, **values).problems]


def drawn(path, **looks):
    document, outcome = made.place(path, **looks)
    assert document is not None, [str(problem) for problem in outcome.problems]
    return document


def marks(page, kind):
    return [(group, mark) for group in page.groups for mark in group.marks if isinstance(mark, kind)]


def words(page, role):
    return [mark.text for _, mark in marks(page, Text) if mark.role is role]
