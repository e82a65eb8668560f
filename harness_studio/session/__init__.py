"""One open project: what was edited, chosen and computed, and who is told about it. Knows no window."""
