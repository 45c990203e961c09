"""The page: the whole craft, live, in a browser of this machine."""
