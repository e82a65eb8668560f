"""The room of common joints: what several chosen loads share, and what that rules out."""
