"""The nouns: frozen objects, valid from construction. Imports only what lies below."""
