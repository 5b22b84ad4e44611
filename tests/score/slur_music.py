"""Random music with slurs that nest, cross and meet, for property tests."""

from hypothesis import strategies as st

PITCHES = ["1:0", "1:3", "1:8", "1:15", "2:1", "2:3", "3:2", "4:2", "2:3+3:4", "1:7+4:5"]
LOW = ["5:0", "6:3", "5:2", "6:8"]
VALUES = {"1/4": 4, "1/8": 2, "1/2": 8}
EXTRAS = ["", "", "", "", " staccato", " accent", " fermata", " tenuto", " trill"]


@st.composite
def slur_rows(draw, count, pitches=PITCHES, deep=True):
    """`count` notes of one voice with the words of whole slurs."""
    opened = {"slur": 0, "phrase": 0}
    rows = []
    for number in range(count):
        is_last = number == count - 1
        words = []
        for kind, depth in opened.items():
            ends = depth if is_last else min(depth, draw(st.sampled_from([0, 0, 1])))
            words += [f"end-{kind}"] * ends
            opened[kind] -= ends
        for kind in opened:
            most = 2 if kind == "slur" and deep else 1
            if not is_last and opened[kind] < most and draw(st.integers(0, 3)) == 0:
                words.append(kind)
                opened[kind] += 1
        rows.append(draw(st.sampled_from(pitches)) + draw(st.sampled_from(EXTRAS)) + " ".join(["", *words]))
    return rows


@st.composite
def slurred_scores(draw, deep=True):
    """Scores of one to five measures of four quarters or eight eighths, in one voice or two."""
    shapes = [draw(st.sampled_from(["1/4", "1/8"])) for _ in range(draw(st.integers(1, 5)))]
    counts = [4 if value == "1/4" else 8 for value in shapes]
    upper = draw(slur_rows(sum(counts), deep=deep))
    two = draw(st.booleans())
    lower = draw(slur_rows(2 * len(shapes), LOW, deep=deep)) if two else []
    lines = []
    for index, (value, count) in enumerate(zip(shapes, counts, strict=True)):
        row, upper = upper[:count], upper[count:]
        lines.append(f"  - notes: [{value}: [{', '.join(row)}]]")
        if two:
            lines.append(f"    lower: [1/2: [{', '.join(lower[2 * index : 2 * index + 2])}]]")
        if index and draw(st.integers(0, 2)) == 0:
            lines.append("    new: line")
        if index and draw(st.integers(0, 5)) == 0:
            lines.append("    key: Eb major")
    return "score: 1\nkey: D major\nmeasures:\n" + "\n".join(lines) + "\n"
