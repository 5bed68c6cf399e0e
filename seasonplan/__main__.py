"""`python -m seasonplan`."""

from seasonplan.cli import main

if __name__ == "__main__":
    main()
