"""The screens: one page at a time, acts in a panel at the bottom, everything by keyboard.

`board.py` holds what is looked at and what is wished for, `wording/` turns it into rows of text,
`commands/` declares what can be done, `widgets/` draws rows and takes keys, `app.py` ties them together.
"""
