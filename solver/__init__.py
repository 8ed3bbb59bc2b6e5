"""The engine: lengths, the model of parts and applications, the answer graph and the judge."""
