"""Drawing on the paper: the stock, what goes where a wire ends, and arranging."""
