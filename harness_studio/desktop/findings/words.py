"""Counts of findings in words; light, for the foot of the window."""

from __future__ import annotations


def summary(counts: dict[str, int]) -> str:
    """Return '1 stop · 7 mend · 9 notes · 1 accepted', what is nought left out; 'no findings' for none."""
    said = [
        f"{count} {kind}{'s' if kind == 'note' and count != 1 else ''}"
        for kind, count in counts.items()
        if count
    ]
    return " · ".join(said) or "no findings"
