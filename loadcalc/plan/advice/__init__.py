"""Advice: what to move, what to leave home, and why nothing works. Every plan is judged anew before it is shown.

    problem = Problem(vehicle, loadout)
    found = fewest_moves(problem)
    plan = checked(problem, found.assign)

`Job` does the same in a process of its own, which can be watched and stopped.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

_HOME = {
    "Job": "job",
    "Plan": "plan",
    "Problem": "problem",
    "Rules": "rules",
    "answer": "answers",
    "checked": "plan",
    "curve": "rearrange",
    "fewest_moves": "rearrange",
    "lowest": "center",
    "single_moves": "single",
    "what_to_leave": "leave",
    "why_not": "why",
}
__all__ = [
    "AdviceRules",
    "Job",
    "Plan",
    "Problem",
    "answer",
    "checked",
    "curve",
    "fewest_moves",
    "lowest",
    "single_moves",
    "what_to_leave",
    "why_not",
]

if TYPE_CHECKING:
    from loadcalc.plan.advice.allowed import AdviceRules
    from loadcalc.plan.advice.answers import answer
    from loadcalc.plan.advice.center import lowest
    from loadcalc.plan.advice.job import Job
    from loadcalc.plan.advice.leave import what_to_leave
    from loadcalc.plan.advice.plan import Plan, checked
    from loadcalc.plan.advice.problem import Problem
    from loadcalc.plan.advice.rearrange import curve, fewest_moves
    from loadcalc.plan.advice.single import single_moves
    from loadcalc.plan.advice.why import why_not


def __getattr__(name: str) -> Any:
    """Load a name from the module that it lives in, on first use: a solver is slow to load."""
    if name not in _HOME:
        raise AttributeError(f"module 'loadcalc.plan.advice' has no attribute {name!r}")
    value = getattr(import_module(f"loadcalc.plan.advice.{_HOME[name]}"), name)
    globals()[name] = value
    return value
