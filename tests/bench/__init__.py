"""How fast it is, as ratios within one run: `python3 -m tests.bench`.

Nothing here is asserted: a busy machine is slow at times. Each line says what was measured, beside the goal,
and whether it was met. Medians, with the middle half of the rounds in brackets.

A part is a module here with a function `lines()` that yields lines of text; its name stands in PARTS of
`__main__.py`. Each part first checks that what it compares gives the same numbers.
"""
