"""The room that sees to it that nothing is lost: recovery copies, one window per file, and what others do to a file."""
