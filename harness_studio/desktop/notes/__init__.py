"""Notes with a leader on anything: written in the drawer, seen on the diagram and on sheets."""
