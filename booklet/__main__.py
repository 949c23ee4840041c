"""`python -m booklet`: comes in, the command line; goes out, its exit status. Everything is done in cli."""

from booklet.cli import main

if __name__ == "__main__":
    main()
