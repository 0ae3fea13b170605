"""Every format a score comes in, read into one raw form."""
