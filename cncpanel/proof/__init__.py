"""The witness: reads programs back by a road of its own, removes material, compares with what is wanted."""
