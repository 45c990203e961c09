"""Foilwright: tells whether a home-made electric hydrofoil board will float, rise, fly and last."""

__version__ = "0.1.0"
