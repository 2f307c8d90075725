"""From a cabinet's job file to checked CNC programs, drawings and sheets."""

__version__ = "0.1.0"
