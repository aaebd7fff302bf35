"""A value with its named sources of uncertainty, propagation and the decision rule.

Knows nothing of teeth or films; any package may import it.
"""
