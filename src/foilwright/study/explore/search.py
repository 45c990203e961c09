"""From the best designs so far to better ones: dominance, what survives, and the next generation."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.extras import need
from foilwright.core.model import Array

Flag = npt.NDArray[np.bool_]

KEPT = 100
"""Designs that survive a round, and are the parents of the next."""
FAR = 1e30
"""Stands for an aim that has no value; such a design lacks something and is behind all that do not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """The best designs so far: shares (k, d), goals (k, m) of which less is better, what they lack (k,), rows (k,)."""

    shares: Array
    goals: Array
    lacks: Array
    rows: npt.NDArray[np.int64]

    def joined(self, other: Best) -> Best:
        """Return both together."""
        pairs = ((getattr(self, name), getattr(other, name)) for name in ("shares", "goals", "lacks", "rows"))
        shares, goals, lacks, rows = (np.concatenate(pair) for pair in pairs)
        return Best(shares=shares, goals=goals, lacks=lacks, rows=rows)

    def taken(self, which: npt.NDArray[np.intp]) -> Best:
        """Return some of them."""
        return Best(shares=self.shares[which], goals=self.goals[which], lacks=self.lacks[which], rows=self.rows[which])


def undominated(goals: Array) -> Flag:
    """Return which rows (k, m) no other row beats in one goal without losing in another; less is better."""
    sorting = need("pymoo.util.nds.non_dominated_sorting", extra="study").NonDominatedSorting()
    keep = np.zeros(len(goals), dtype=bool)
    if len(goals):
        keep[sorting.do(goals, only_non_dominated_front=True)] = True
    return keep


def survivors(best: Best, count: int = KEPT) -> Best:
    """Return the ``count`` best different ones, in the order in which they stand."""
    _, once = np.unique(best.shares, axis=0, return_index=True)
    best = best.taken(np.sort(once))
    return best.taken(chosen(best.goals, best.lacks, count))


def chosen(goals: Array, lacks: Array, count: int = KEPT) -> npt.NDArray[np.intp]:
    """Return the places of the ``count`` best: what lacks least, then by fronts, the least crowded of the last."""
    if len(lacks) <= count:
        return np.arange(len(lacks))
    left = np.flatnonzero(lacks <= 0.0)
    if left.size <= count:
        return np.sort(np.argsort(lacks, kind="stable")[:count])
    taken: list[int] = []
    while len(taken) < count:
        first = undominated(goals[left])
        front, room = left[first], count - len(taken)
        if front.size > room:
            front = front[np.argsort(-_apart(goals[front]), kind="stable")[:room]]
        taken += front.tolist()
        left = left[~first]
    return np.sort(np.array(taken))


def _apart(goals: Array) -> Array:
    """Return how far the neighbours of each row are in all goals together (Deb et al. 2002, crowding distance)."""
    out = np.zeros(len(goals))
    for column in goals.T:
        order = np.argsort(column, kind="stable")
        wide = column[order[-1]] - column[order[0]]
        out[order[[0, -1]]] = np.inf
        if wide > 0.0:
            out[order[1:-1]] += (column[order[2:]] - column[order[:-2]]) / wide
    return out


def next_generation(best: Best, count: int, *, seed: int) -> Array:
    """Return the shares (count, d) of a new generation from the best so far; the same for the same seed.

    Tournaments, simulated binary crossing and polynomial mutation after Deb et al. 2002 (NSGA-II, IEEE
    Transactions on Evolutionary Computation 6, 182).
    """
    module = need("pymoo.algorithms.moo.nsga2", extra="study")
    problems, static = need("pymoo.core.problem", extra="study"), need("pymoo.problems.static", extra="study")
    evaluator = need("pymoo.core.evaluator", extra="study")
    problem = problems.Problem(n_var=best.shares.shape[1], n_obj=best.goals.shape[1], n_ieq_constr=1, xl=0.0, xu=1.0)
    search = module.NSGA2(pop_size=len(best.rows), n_offsprings=count, sampling=best.shares, eliminate_duplicates=False)
    search.setup(problem, seed=seed, verbose=False, termination=("n_gen", 10))
    parents = search.ask()
    known = static.StaticProblem(problem, F=np.minimum(best.goals, FAR), G=best.lacks[:, None])
    evaluator.Evaluator().eval(known, parents)
    search.tell(infills=parents)
    shares = np.asarray(search.ask().get("X"), dtype=np.float64)
    if len(shares) < count:
        more = np.random.default_rng(seed).random((count - len(shares), shares.shape[1]))
        shares = np.concatenate([shares, more])
    return shares[:count]
