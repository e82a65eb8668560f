"""The room of pages: the diagram's pages as a list, and everything that makes and changes them."""
