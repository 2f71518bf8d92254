"""Asks nbformat itself whether a notebook is valid 4.5; prints `valid` or what is wrong."""

import sys

import nbformat

notebook = nbformat.read(sys.argv[1], as_version=nbformat.NO_CONVERT)
nbformat.validate(notebook)
assert (notebook.nbformat, notebook.nbformat_minor) == (4, 5), "not format 4.5"
print("valid")
