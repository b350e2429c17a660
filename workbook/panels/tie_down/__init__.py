"""Page 05: what ties the load down."""
