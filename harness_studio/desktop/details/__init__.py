"""The details page: every field of what is selected, to be changed in place, with what is solved of it."""
