"""A second implementation of Footing's definitions, over numpy and scipy.

Written from the definitions (frames, signs, measures), not from the Rust code, so that a slip in one
shows as a difference between the two. It is slow and plain on purpose.
"""
