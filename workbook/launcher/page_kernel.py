"""IPython's kernel without its debugger: eight megabytes less for each page that is open, and nothing asks for it."""

import sys


def main() -> None:
    """Run the kernel; `kernels/python3/kernel.json` beside this file starts it."""
    sys.modules["debugpy"] = None  # type: ignore[assignment]  # "not installed", for whoever imports it
    from ipykernel.kernelapp import launch_new_instance

    launch_new_instance()


if __name__ == "__main__":
    main()
