"""For all tests: how Hypothesis runs."""

import hypothesis

# A busy machine is slow at times: that is no failure.
hypothesis.settings.register_profile("workbook", deadline=None)
hypothesis.settings.load_profile("workbook")
