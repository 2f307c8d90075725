"""`python -m cncpanel` is the command `cncpanel`."""

from cncpanel.cli import main

if __name__ == "__main__":
    main()
