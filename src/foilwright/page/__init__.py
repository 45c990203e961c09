"""The page: one craft, live, in a browser; handlers that call what lies below and show what it found."""
