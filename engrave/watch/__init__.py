"""A booklet shown while its marks are edited: every save is checked, and shown in a browser.

``watching`` waits for saves and makes what is to be seen, ``stage`` holds it, ``server`` hands it
to browsers of this machine, ``pdf`` has the PDF made behind it all.
"""

from engrave.watch.watching import watch

__all__ = ["watch"]
