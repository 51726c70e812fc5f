"""What `evenwater COMMAND` does, a module for each command; `main.py` lists them.

Each says what it did in words, or with `--json` in one JSON document, and ends with 0 (done), 1 (a problem, told in one
line) or 2 (not understood).
"""
