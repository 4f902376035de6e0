"""Acts in, events out: an attempt is a header and numbered events, the bench is their fold."""
