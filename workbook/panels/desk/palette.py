"""The look, defined once: five color roles, the page, and one typeface stack.

The tints keep apart for the common kinds of color blindness, and no state is told by color alone.
"""

ROLES = {
    "ink": "#1f2933",
    "quiet": "#5f6b78",
    "load": "#356f8f",
    "limit": "#1f2933",
    "alarm": "#b5391f",
}
PAPER = "#fdfcf9"
LOAD_TINT = "#dbe5ea"
ALARM_TINT = "#f3dcd6"
FONT = "system-ui, -apple-system, 'Segoe UI', 'Noto Sans', 'Liberation Sans', sans-serif"

MARKS = {"over": "▲", "not known": "?", "within": ""}
