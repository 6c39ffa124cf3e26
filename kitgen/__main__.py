"""``python -m kitgen`` is ``kitgen``."""

from kitgen.cli import main

if __name__ == "__main__":
    main()
