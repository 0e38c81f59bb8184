"""The few widgets of the screens; each draws rows line by line."""
