"""The nouns: frozen objects, valid from construction. Imports geometry, quantity and errors only."""
