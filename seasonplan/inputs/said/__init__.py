"""What a person types in answer to `start`: one line of text to one checked answer.

Each reader gives what was meant, or raises `Wrong` (the reason and the choices), or `Asks`: something is missing, and a
question would settle it. Nothing here prompts: whoever asks (a terminal, or nobody where options came from a script)
decides what to do with it.
"""
