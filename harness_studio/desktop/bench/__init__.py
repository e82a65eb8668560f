"""The room of the bench: connectors cavity by cavity, wires rung out, faces drawn up."""
