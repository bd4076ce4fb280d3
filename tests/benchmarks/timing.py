"""Two things taken in turns, and the ratio of the one to the other."""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Callable, Sequence
from typing import NamedTuple


class Beside(NamedTuple):
    """Median seconds of ours and of the baseline."""

    own: float
    other: float

    @property
    def ratio(self) -> float:
        return self.own / self.other


def timed(work: Callable[[], object]) -> float:
    """Seconds that one piece of work takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def in_turns(
    ours: Callable[[], object],
    theirs: Callable[[], object],
    times: int,
    clock: Callable[[Callable[[], object]], float] = timed,
) -> Beside:
    """Medians of several turns: a busy moment of the machine falls on both.

    The first turn warms the disk and the caches and does not count.
    """
    ours(), theirs()
    taken = [(clock(ours), clock(theirs)) for _ in range(times)]
    return Beside(*(statistics.median(seconds) for seconds in zip(*taken, strict=True)))


def median_of(work: Sequence[Callable[[], object]]) -> float:
    """The median seconds of some pieces of work, each done once."""
    return statistics.median(timed(one) for one in work)


def growth(sizes: Sequence[int], seconds: Sequence[float]) -> float:
    """The exponent by which time grows with size: 1 is linear, 0 not at all (least squares)."""
    xs, ys = [math.log(one) for one in sizes], [math.log(one) for one in seconds]
    mean_x, mean_y = statistics.fmean(xs), statistics.fmean(ys)
    over = sum((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True))
    return over / sum((x - mean_x) ** 2 for x in xs)


def told(name: str, beside: Beside, baseline: str, target: float | None = None) -> None:
    """One line: what, how long, the ratio, beside what, and the ratio aimed at."""
    aim = f", aim {target:g} x" if target is not None else ""
    print(
        f"{name:44} {_written(beside.own):>9} {beside.ratio:7.2f} x  "
        f"{baseline} ({_written(beside.other)}){aim}",
        flush=True,
    )


def figure(name: str, value: str, aim: str = "") -> None:
    """One line for a figure that stands alone."""
    print(f"{name:44} {value:>9}{f'   aim {aim}' if aim else ''}", flush=True)


def _written(seconds: float) -> str:
    return f"{seconds * 1000:.0f} ms" if seconds >= 0.01 else f"{seconds * 1000:.2f} ms"


written = _written
