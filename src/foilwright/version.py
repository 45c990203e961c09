"""The version of the program; a file of its own, so that lower layers can name it."""

__version__ = "0.1.0"
