"""A case as data and as screens, for every front end alike."""
