"""The room of lists: tables of everything on the harness, to be filtered, sorted and changed like a spreadsheet."""
