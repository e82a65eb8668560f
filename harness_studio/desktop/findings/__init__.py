"""The room of findings: what the checks have to say, what to do about it, and by which limits."""
