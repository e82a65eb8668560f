"""The guide: read and searched in a window of its own, without a network."""
