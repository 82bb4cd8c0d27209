"""The terminal app: six places, one module and one stylesheet each; every action is a desk verb."""
