"""The network as a graph of points and joints: ways, bridges, what lies between."""
