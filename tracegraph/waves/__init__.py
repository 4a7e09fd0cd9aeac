"""What a scope shows at a net while an input switches."""
