"""How many of the figures that are taught come out as taught: python -m tests.fingering.plucking_report."""

from tests.fingering.plucking import by_strings, plucked, say, score_of
from tests.fingering.taught_plucking import FINGERS, STROKES


def main():
    """Print a table, and each figure that comes out otherwise."""
    for title, figures in (("fingers", FINGERS), ("strokes", STROKES)):
        rule = chosen = 0
        for figure in figures:
            found, taught = say(plucked(score_of(figure), figure.hand)), figure.ways
            chosen += found in taught
            rule += by_strings(figure) in taught
            if found not in taught:
                print(f"  {figure.name}: {found}; taught {' or '.join(taught)} ({figure.source})")
        print(f"{title}: {chosen} of {len(figures)} as taught; strings or alternation alone: {rule}")


if __name__ == "__main__":
    main()
