"""Suspects of a case, how sure they are, and where to measure next."""
