"""Element laws, assembly, solution, and who shares a joint."""
