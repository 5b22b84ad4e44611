"""What stands after the lines of a block, and what words say of repeats: x2, (let ring)."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.exchange.text_tab.lines.blocks import TabLine
from engrave.exchange.text_tab.lines.loose_rows import Stage, read_times, span_sign
from engrave.exchange.text_tab.lines.text_lines import RemarkLog
from engrave.exchange.text_tab.reading.measures import TabMeasure
from engrave.exchange.text_tab.reading.words import Around, throughout


def read_tails(lines: Sequence[TabLine], stage: Stage, around: Around, loose: bool, log: RemarkLog) -> None:
    """How often a block is played, or what is done throughout, written after a line; other words are dropped."""
    for line in lines:
        if not line.after:
            continue
        column = line.start + len(line.body) + 1
        times, sign = read_times(line.after), span_sign(line.after)
        if times > 1:
            around.times.append((line.number, column, times))
        elif sign and loose and stage.measures:
            around.entries.append(throughout(sign, line.number, stage))
        else:
            log.add("dropped", line.number, column, f'"{line.after[:40]}" after the line')


def repeat_in_words(
    measures: Sequence[TabMeasure], times: Sequence[tuple[int, int, int]], log: RemarkLog
) -> None:
    """Let the repeat that ends nearest to such words be played so often; where none is drawn, the whole line is repeated."""
    for line, column, count in times:
        ends = [measure for measure in measures if measure.closes]
        if count < 2 or not measures or (not ends and any(measure.opens for measure in measures)):
            log.add("dropped", line, column, f"nothing here ends that is played {count} times")
        elif ends:
            min(ends, key=lambda measure: abs(measure.column + measure.width - column)).times = count
        else:
            measures[0].from_here = measures[-1].to_here = True
            measures[-1].times = count
            what = f"the line has no repeat signs; all of it is read as played {count} times"
            log.add("doubted", line, column, what)
