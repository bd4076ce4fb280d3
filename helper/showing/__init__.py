"""From an Answer to what a person or a program reads: text, JSON Lines, and the chat.

`clean` keeps raw control characters off the terminal, `text` lays answers out, `lines` writes
them as JSON, `chat` talks in a terminal with `suggest` behind its completion.
"""
