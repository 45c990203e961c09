"""Pure, vectorised models, each with its published source and its valid range."""
