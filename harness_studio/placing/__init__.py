"""Where symbols stand on a page and how wires run between them: sizes, arrangement and routes, without Qt."""
