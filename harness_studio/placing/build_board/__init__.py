"""The build board: where breakouts, runs and ends lie, and where what is said about them has room."""
