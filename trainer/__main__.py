"""``python -m trainer`` is the command ``condenser-bench``; knows nothing else."""

import sys

from trainer.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
