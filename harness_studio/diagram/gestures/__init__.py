"""What the hand does on the diagram: one small class a file."""
