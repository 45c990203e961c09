"""The rider as a figure of thick lines, in the posture of the moment."""

from __future__ import annotations

from foilwright.page.side import Points

Figure = tuple[list[Points], tuple[float, float]]
"""Limbs as lines, and the middle of the head; metres, heights above the deck."""


def aside(tall: float, at: float, middle: float, width: float, posture: str) -> Figure:
    """Return the figure from the side, its weight at ``at``; ``middle`` and ``width`` are those of the stance."""
    if posture == "prone":
        return _prone(tall, at)
    return _kneeling(tall, at) if posture == "kneeling" else _standing(tall, at, middle, width)


def _prone(tall: float, at: float) -> Figure:
    feet, crown = at - 0.52 * tall, at + 0.44 * tall
    body: Points = [(feet, 0.05), (at - 0.05, 0.09), (crown - 0.16, 0.12)]
    arm: Points = [(crown - 0.22, 0.12), (crown - 0.12, 0.02), (crown + 0.05, 0.02)]
    return [body, arm], (crown, 0.2)


def _kneeling(tall: float, at: float) -> Figure:
    body: Points = [(at - 0.32, 0.04), (at + 0.1, 0.05), (at - 0.06, 0.16 * tall), (at + 0.05, 0.45 * tall)]
    arm: Points = [(at + 0.04, 0.44 * tall), (at + 0.2, 0.27 * tall), (at + 0.12, 0.16 * tall)]
    return [body, arm], (at + 0.09, 0.54 * tall)


def _standing(tall: float, at: float, middle: float, width: float) -> Figure:
    hip, neck = (at - 0.03, 0.47 * tall), (at + 0.06, 0.79 * tall)
    limbs: list[Points] = [
        [(foot + toe, 0.02), (foot, 0.02), (0.5 * (foot + at) + bend, 0.25 * tall), hip]
        for foot, toe, bend in ((middle + 0.5 * width, 0.06, 0.12), (middle - 0.5 * width, -0.06, 0.03))
    ]
    arms: list[Points] = [[neck, (at + 0.28, 0.6 * tall)], [neck, (at - 0.18, 0.58 * tall)]]
    return [*limbs, [hip, neck], *arms], (at + 0.09, 0.87 * tall)


def ahead(tall: float, posture: str) -> Figure:
    """Return the figure from ahead; standing, it faces one edge of the board."""
    if posture == "prone":
        arms: list[Points] = [[(side * 0.1, 0.14), (side * 0.24, 0.1), (side * 0.2, 0.02)] for side in (1.0, -1.0)]
        return [[(-0.12, 0.14), (0.12, 0.14)], *arms], (0.0, 0.24)
    if posture == "kneeling":
        legs: list[Points] = [[(side * 0.16, 0.04), (side * 0.05, 0.17 * tall)] for side in (1.0, -1.0)]
        arms = [[(0.0, 0.43 * tall), (side * 0.2, 0.3 * tall), (side * 0.13, 0.17 * tall)] for side in (1.0, -1.0)]
        return [*legs, [(0.0, 0.17 * tall), (0.0, 0.44 * tall)], *arms], (0.0, 0.54 * tall)
    legs = [[(0.09, 0.02), (-0.05, 0.02), (0.06, 0.25 * tall), (-0.04, 0.47 * tall)]]
    arms = [[(0.03, 0.78 * tall), (side * 0.26, 0.62 * tall)] for side in (1.0, -1.0)]
    return [*legs, [(-0.04, 0.47 * tall), (0.03, 0.79 * tall)], *arms], (0.05, 0.87 * tall)
