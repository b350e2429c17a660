"""Opening, copies, upgrades of old files, and the zip that goes elsewhere."""
