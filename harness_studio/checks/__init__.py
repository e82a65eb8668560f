"""Rules of the trade, what they find in a harness, and advice on sizes: each number with its limit and source."""
