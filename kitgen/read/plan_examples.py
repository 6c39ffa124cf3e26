"""Every kind of goal a plan may have, with one of each as it is written there."""

EXAMPLES = {
    "sound": ("a limb and what it strikes", '{ sound = "ride", limb = "RH" }'),
    "cell": (
        "what a limb plays in a beat, by itself or over feet",
        '{ cell = "x.xx", limb = "LH", over = "samba" }',
    ),
    "ostinato": ("what limbs keep up by themselves, or two at once (with)", '{ ostinato = "samba" }'),
    "parts": ("limbs together", '{ parts = "RH+LH+RF" }'),
    "turns": ("limbs in turn", '{ turns = "RH+LH+RF" }'),
    "meter": ("a meter", '{ meter = "3/4" }'),
    "value": ("a note held past its beat", '{ value = "dotted-quarter" }'),
    "tie": ("tied notes", "{ tie = true }"),
    "rest": ("a rest inside a beat, or one of many bars", '{ rest = "eighth" } or { rest = "8 bars" }'),
    "change": ("beats divided differently, side by side", '{ change = "3-4" }'),
    "against": ("one rhythm against another", '{ against = "3:2", meter = "3/4" }'),
    "feel": ("swing", '{ feel = "swing eighths" }'),
    "ornament": ("flam, drag, diddle or buzz", '{ ornament = "flam" }'),
    "contrast": ("soft and accented, or ghost notes", '{ contrast = "ghost" }'),
    "application": ("a way to play a line, on a composed line", '{ application = "groove" }'),
    "line": ("a line of your own, and how it is played", '{ line = "1 & 2 e & a 3 4 &", as = "linear" }'),
    "grid": ("every cell for a limb, a page each", '{ grid = { moving = "LH", under = "samba", cells = "16ths" } }'),
}
"""By key: what it is, and an example. Any may have a setup of its own beside it: meter, tempo, kit, player ..."""
