"""The room of two harnesses: bringing a second one in, planning wires, needed cavities, and where the two meet."""
