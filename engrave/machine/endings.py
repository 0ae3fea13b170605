"""What the names of files end in, in small letters, and so what kind they are taken for."""

XML = (".musicxml", ".xml", ".mxl", ".mei")
KERN = (".krn", ".kern")
MIDI = (".mid", ".midi")
SCORES = (*XML, *KERN, ".abc", *MIDI)
MARKS = (".yaml", ".yml")
