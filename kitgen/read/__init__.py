"""Readers: text, MIDI, scores, takes and TOML into values. The only room, with write and record, that touches files."""
