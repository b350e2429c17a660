"""The look, defined once: five color roles, the page, and one typeface stack, for the light theme and for the dark one.

The tints keep apart for the common kinds of color blindness, and no state is told by color alone.
"""

ROLES = {
    "ink": "#1f2933",
    "quiet": "#5f6b78",
    "load": "#356f8f",
    "limit": "#1f2933",
    "alarm": "#b5391f",
}
DARK_ROLES = {
    "ink": "#e8e6e1",
    "quiet": "#a3adb8",
    "load": "#5b9cbf",
    "limit": "#e8e6e1",
    "alarm": "#ff8a6b",
}
PAPER = "#fdfcf9"
DARK_PAPER = "#111111"  # JupyterLab's own page in its dark theme
GRID = "#e3e6e8"
LOAD_TINT = "#dbe5ea"
ALARM_TINT = "#f3dcd6"
LOAD_STEPS = ("#f4f7f8", "#e6edf1", LOAD_TINT, "#bfd3de")  # from far within a limit to the limit
ALARM_STEPS = (ALARM_TINT, "#e6b9ae", "#d99483")  # from the limit on
_DARK_STEPS = ("#15191c", "#182329", "#1c2d36", "#24475a", "#3f2019", "#5c2c21", "#7a3a2b")
FONT = "system-ui, -apple-system, 'Segoe UI', 'Noto Sans', 'Liberation Sans', sans-serif"

# What stands in the place of each color in the dark theme: a chart carries this along (workbook/widgets/chart/).
DARK = {
    PAPER: DARK_PAPER,
    GRID: "#2c3136",
    **{color: DARK_ROLES[role] for role, color in ROLES.items()},
    **dict(zip((*LOAD_STEPS, *ALARM_STEPS), _DARK_STEPS, strict=True)),
}

MARKS = {"over": "▲", "not known": "?", "within": ""}
