"""claybench: a clay-testing lab notebook centred on plaster slabs."""

__version__ = "0.1.0"
