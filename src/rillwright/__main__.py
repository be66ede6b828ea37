"""`python -m rillwright` is the command `rillwright`."""

from rillwright.cli import main

if __name__ == "__main__":
    main()
