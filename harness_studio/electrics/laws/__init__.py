"""Element laws, a family a file, and the one map kind → law in `catalogue`."""
