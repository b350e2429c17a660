"""The sheet that goes along on paper."""
