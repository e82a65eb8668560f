"""Sheets from the window: chosen, ordered, previewed, written and printed."""
