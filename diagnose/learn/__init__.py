"""What is learnt from the knowledge's phrases and situations, ahead of time; nothing here runs in a consult."""
