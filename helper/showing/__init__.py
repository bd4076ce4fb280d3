"""From an Answer to what a person reads: text, JSON, and the chat in the terminal."""
