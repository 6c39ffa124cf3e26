"""Writers: MIDI, text, and the folder with its index and manifest. One file each.

Conventions: a writer is a pure function from a page to bytes or text, the same for the same page; only
:mod:`kitgen.write.folder` touches files.
"""
