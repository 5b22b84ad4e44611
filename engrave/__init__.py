"""Engrave: from a written-down score for fretted instruments to a printed page.

For programs: `read`, `check`, `place`, `draw`, `write` (see `engrave.front_door`), loaded when they are first used.
"""

from typing import TYPE_CHECKING

from engrave.version import __version__ as __version__

if TYPE_CHECKING:
    from engrave.front_door import *  # noqa: F403 - the front door lists what it gives


def __getattr__(name: str) -> object:
    """What the front door gives; the command line, which needs none of it, starts without."""
    if name.startswith("_"):
        raise AttributeError(name)
    import engrave.front_door as front_door

    if name not in front_door.__all__:
        raise AttributeError(f"module 'engrave' has no attribute {name!r}")
    return getattr(front_door, name)


def __dir__() -> list[str]:
    import engrave.front_door as front_door

    return [*front_door.__all__, "__version__"]
