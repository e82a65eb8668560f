"""Printed pages: sheets are laid out in millimetres from the harness and its solutions and written as vector PDF."""
