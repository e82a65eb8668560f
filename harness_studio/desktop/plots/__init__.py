"""The room of plots: what is computed, drawn as curves, stairs, bars and blocks; each with its numbers as a table."""
