"""The room of the first minute: what the start page lists, and hints where a page would be empty."""
