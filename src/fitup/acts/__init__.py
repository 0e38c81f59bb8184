"""From what a person asks to an edit that is a fact, or a sentence that says why not."""
