"""The live board: what stands at every net in a powered state."""
