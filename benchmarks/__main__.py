"""Run every benchmark, or those whose name contains a word given: ``python benchmarks [WORD ...]``.

What takes minutes (``memory``) runs only where a word names it.
"""

from __future__ import annotations

import sys

import arrays
import asks
import clock
import learn
import page
import parts
import start

MODULES = (start, asks, arrays, parts, page, learn)


def main(words: list[str]) -> None:
    """Print the table of timings."""
    yardstick = clock.process("-c", clock.YARDSTICK)
    chosen = [
        function
        for module in MODULES
        for function in module.BENCHMARKS
        if not words or any(word in f"{module.__name__}.{function.__name__}" for word in words)
    ]
    chosen += [function for function in page.LONG if any(word in function.__name__ for word in words)]
    print(clock.table([function() for function in chosen], yardstick))


main(sys.argv[1:])
