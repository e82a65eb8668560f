"""The build board in the window: the same layout that is printed, to look at, zoom into and choose from."""
