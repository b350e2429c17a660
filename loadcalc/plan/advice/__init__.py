"""Advice: what to move, what to leave home, and why nothing works. Every plan is judged anew before it is shown."""
