"""Typed tabs put together for the tests, and what is read from them."""

NAMES = "eBGDAE"


def tab(rows, count=6, names=NAMES):
    """A block from the rows of some strings; the others are empty."""
    width = max(len(row) for row in rows.values())
    empty = "".join("|" if c == "|" else "-" for c in next(iter(rows.values())).ljust(width, "-"))
    return "\n".join(f"{names[n - 1]}{rows.get(n, empty)}" for n in range(1, count + 1)) + "\n"
