"""Harnesses that come from elsewhere: files of open formats become the model, and whatever is doubtful is said."""
