"""The questions a build must answer, and the state that they share."""
