"""Hands: every row is done once, in whichever process, and what a lost process held is done here."""

from __future__ import annotations

import functools
import os
import signal
import subprocess
import sys
import time

import pytest

from foilwright.study.ways.hands import MOST, Hands, work

HERE = os.getpid()


def _squares(block: list[int]) -> list[int]:
    return [each * each for each in block]


def _lost(block: list[int]) -> list[int]:
    """Square numbers here; end any other process."""
    if os.getpid() != HERE:
        os._exit(1)
    return _squares(block)


def _wherever(block: list[int], *, here: int) -> bool:
    assert block
    return os.getpid() == here


@pytest.mark.parametrize("count", [1, 2, 5])
def test_each_row_is_in_one_block(count: int) -> None:
    hands = Hands()
    hands.count = count
    groups = [(1.0, range(0, 700)), (0.4, range(700, 730)), (0.0, range(730, 1000))]
    blocks = hands.cut(groups)
    assert sorted(row for _, block in blocks for row in block) == list(range(1000))
    assert max(len(block) for _, block in blocks) <= MOST
    assert len(blocks) >= count


def test_little_work_is_not_cut() -> None:
    hands = Hands()
    hands.count = 8
    assert [block for _, block in hands.cut([(0.1, range(20))])] == [list(range(20))]


@pytest.mark.parametrize("do", [_squares, _lost])
def test_results_come_in_the_order_of_the_blocks(do: object) -> None:
    with Hands() as hands:
        blocks = [[k, k + 1] for k in range(12)]
        works = [work(1.0, 10 * (k % 5)) for k in range(12)]
        assert hands.run(do, blocks, works) == [_squares(block) for block in blocks]  # type: ignore[arg-type]
        assert hands.run(do, blocks[:1], [1.0]) == [_squares(blocks[0])]  # type: ignore[arg-type]


def test_another_process_helps_where_the_system_forks() -> None:
    with Hands() as hands:
        alone = hands.count == 1
        told = hands.run(functools.partial(_wherever, here=HERE), [[k] for k in range(4)], [100.0] * 4)
    assert all(told) == alone
    assert any(told)


LONELY = """
import os, time
from foilwright.core.engine import Cores
cores = Cores(workers=1)
if cores.forks:
    print(cores.pool(1).submit(os.getpid).result(), flush=True)
    time.sleep(60)
"""


def test_a_worker_ends_when_who_asked_is_killed() -> None:
    asked = subprocess.Popen([sys.executable, "-c", LONELY], stdout=subprocess.PIPE, text=True)
    assert asked.stdout is not None
    told = asked.stdout.readline()
    asked.kill()
    asked.wait()
    asked.stdout.close()
    if not told:
        pytest.skip("this system does not fork")
    for _ in range(100):
        try:
            os.kill(int(told), 0)
        except ProcessLookupError:
            return
        time.sleep(0.1)
    os.kill(int(told), signal.SIGKILL)
    pytest.fail("the worker is still there ten seconds after its parent")
