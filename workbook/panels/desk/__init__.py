"""What every page stands on: the desk, tables, sliders, forms, and the words and colors that all pages share."""
