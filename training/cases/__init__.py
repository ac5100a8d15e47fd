"""Calls: what is wrong with which rig, and what the customer says about it."""
