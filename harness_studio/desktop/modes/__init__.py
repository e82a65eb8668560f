"""Operating modes made in the window: the positions pressed along the top are kept under a name."""
