"""fitup: session planning for a riveted metal aircraft built at home."""
