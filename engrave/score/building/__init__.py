"""Raw bars become a sheet."""
