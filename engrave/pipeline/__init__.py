"""The stages from a marks file to a booklet: ``check`` stops short of the engraving, ``build`` not.

Read ``stages`` first: it is the list of what happens, in order. ``manifest`` says what was made,
``exchanging`` puts it in the place of what was there, whole or not at all.
"""
