"""Who works here: shops, members, what they may do, and the audit of what was done."""
