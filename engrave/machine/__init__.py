"""What deals with the machine, and knows nothing of music.

``cache`` keeps what was made; ``beside``, ``shared`` and ``workers`` are other processes; ``later``
and ``methods`` save loading; ``whole``, ``saving``, ``signed`` and ``writing`` write files whole or
not at all; ``packed`` holds much in little room; ``loopback`` shows pages to browsers of this
machine; ``endings``, ``typed`` and ``missing`` know the names of files; ``raised`` sorts what went
wrong.
"""
