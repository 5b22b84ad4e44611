"""The kinds of document and what makes each of them, loaded when it is wanted: start-up counts."""

from __future__ import annotations

from typing import Any

from engrave.documents.kind import Kind
from engrave.products.product import Product


def product_of(kind: Kind) -> Product[Any, Any]:
    """What makes documents of this kind."""
    match kind:
        case Kind.SCORE:
            from engrave.products.score import ScoreProduct

            return ScoreProduct()
        case Kind.HANDOUT:
            from engrave.products.handout import HandoutProduct

            return HandoutProduct()
        case Kind.SONGBOOK:
            from engrave.products.songbook import SongbookProduct

            return SongbookProduct()
        case Kind.METHOD:
            from engrave.products.method import MethodProduct

            return MethodProduct()
        case Kind.PAPER:
            from engrave.products.paper import PaperProduct

            return PaperProduct()
