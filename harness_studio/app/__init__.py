"""Start-up and command line: the one room that knows all others and puts them together."""
