"""Commands: parse, call one use case, print."""
