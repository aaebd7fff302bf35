"""Rules and verdicts, post space, ferrule and its options, worksheet. Pure."""
