"""What a meter shows: settings and leads in, what is read out, every value from the circuit."""
