"""The room of history: every step that led here and those undone, and the way to each of them."""
