"""The commands: every act and answer of the screens as one line in a shell."""
