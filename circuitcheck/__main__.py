"""`python -m circuitcheck` is the same as the command `circuitcheck`."""

from circuitcheck.cli.main import main

if __name__ == "__main__":
    main()
