"""What is asked of a neck diagram as the tree of its key `neck`."""

from __future__ import annotations

from engrave.theory.neck_diagram import NeckRequest


def neck_tree(request: NeckRequest) -> str | dict[str, str]:
    """The words alone where nothing else is said, else a mapping."""
    tree = {
        "show": request.show,
        "dots": request.dots,
        "root": request.root,
        "frets": request.frets,
        "strings": request.strings,
        "labels": request.labels.value if request.labels is not None else "",
        "direction": request.direction.value if request.direction is not None else "",
        "numbers": request.numbers,
        "arrows": request.arrows,
    }
    found = {key: value for key, value in tree.items() if value}
    if request.title is not None:
        found["title"] = request.title
    return request.show if set(found) == {"show"} else found
