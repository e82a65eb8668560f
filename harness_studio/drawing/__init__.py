"""What things look like: colours, type, symbols, faces and wires as strokes in millimetres. QtGui only."""
