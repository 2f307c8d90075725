"""Operations turned into tool motions in the sheet's frame: one file an operation kind; entries, leads, tabs."""
