"""The build file: its fields, reading it, saving it."""
