"""What is learnt from the knowledge's phrases and situations, ahead of time.

Nothing here runs in a consult.
"""
