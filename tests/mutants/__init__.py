"""Do the tests notice a small mistake? `python3 -m tests.mutants --seed 1 --sample 200 [paths]`.

One small change at a time is made in a private copy of the project, and the tests of the changed file run on it:
a change that no test notices "survived", and stands for a mistake that nobody would see.
"""
