"""A live page on this machine, for the phone in the garden: the same plans, log and files as the commands have.

household  what is served: the plans as they stand, planning again in the background, what was noted since
forms      what a form says, as a deed
edits      rows of plants.csv and places of scenario.toml, changed as text and checked as files
guard      who may ask: host, origin, pairing, tokens
views      what each screen shows
app        which address leads where
"""
