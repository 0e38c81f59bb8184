"""The project file: one SQLite database that keeps a plan, what happened to it, and the journal. The only SQL."""
