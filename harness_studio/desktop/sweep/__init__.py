"""Every joint made bad, one at a time, ranked by what one would notice."""
