"""How a loaded vehicle stands: rigid tip angles, wheel loads on a slope, and what each thing costs."""
