"""Geometry of the parts: what physics computes with and what gets drawn and cut."""
