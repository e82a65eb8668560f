"""Heat: temperatures of wires, ampacity, fuses against time."""
