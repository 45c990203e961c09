"""The craft as frozen dataclasses of SI arrays; the leading axis is designs."""
