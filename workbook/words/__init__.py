"""Results in words and numbers, in the reader's units: a report in, sentences out."""
