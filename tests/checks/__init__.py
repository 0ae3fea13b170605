"""An independent check of what a build wrote, by templates/reference/manifest.md and the files.

Nothing here imports the tool. Notes are read back by other readers than the tool's own (partitura,
verovio's timemap, and the arithmetic of ``rawxml``), pages and pictures by rasterising them. Every
check returns its findings as sentences, none where all is well.
"""
