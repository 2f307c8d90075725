"""A small job whose name is to be filled in, for tests that make many."""

JOB = """\
[job]
name = "@NAME@"
machine = "shop-router"

[[stock]]
name = "ply 18"
material = "plywood"
thickness = 18
sheet = [600, 400]
count = 1

[[panel]]
name = "board"
stock = "ply 18"
size = [120, 80]
"""
